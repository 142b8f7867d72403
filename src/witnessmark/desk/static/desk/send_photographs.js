// Photographs go one by one, so that a lost connection loses one and not all; the plain form works without this.
for (const form of document.querySelectorAll("form[data-send-photographs]")) {
  form.addEventListener("submit", (event) => {
    const files = [...form.elements.photograph.files];
    if (!files.length) return;
    event.preventDefault();
    send(form, files);
  });
  // A choice is meant: sending needs no second tap.
  form.elements.photograph.addEventListener("change", () => {
    if (form.elements.photograph.files.length) form.requestSubmit();
  });
}

async function send(form, files) {
  const line = form.querySelector(".sending");
  const bar = line.querySelector("progress");
  const says = line.querySelector("[data-says]");
  const button = form.querySelector("button");
  const left = [];
  const refused = [];
  let onward = "";
  line.hidden = false;
  button.disabled = true;
  bar.max = files.length;
  for (const [at, file] of files.entries()) {
    bar.value = at;
    says.textContent = `Sending ${at + 1} of ${files.length}: ${file.name}`;
    try {
      const answer = await fetch(form.action, { method: "POST", body: one(form, file), headers: { Accept: "application/json" } });
      if (answer.redirected || !(answer.headers.get("Content-Type") ?? "").includes("json")) throw new Error(String(answer.status));
      const said = await answer.json();
      refused.push(...said.refused);
      if (said.kept.length) onward = said.next;
    } catch {
      left.push(file);
    }
  }
  bar.value = files.length - left.length;
  button.disabled = false;
  if (left.length) {
    says.textContent = `${left.length} not sent: ${left.map((file) => file.name).join(", ")}. Still chosen: send again.`;
    const again = new DataTransfer();
    for (const file of left) again.items.add(file);
    form.elements.photograph.files = again.files;
    return;
  }
  if (refused.length) {
    says.textContent = refused.join(" ");
    form.elements.photograph.value = "";
    if (!onward) return;
    await new Promise((done) => setTimeout(done, 4000)); // time to read it
  }
  location.assign(onward);
  if (onward.includes("#")) location.reload(); // an address that differs by its end alone would not load
}

function one(form, file) {
  const body = new FormData(form);
  body.delete("photograph");
  body.append("photograph", file, file.name);
  return body;
}
