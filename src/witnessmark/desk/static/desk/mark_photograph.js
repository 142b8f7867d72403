// Where a part sat: a tap on its photograph; a drag from there to the way its top points. Keys choose squares and ways.
const DRAG = 14; // px of a finger before it is a drag and not a tap
const WAYS = 8;

for (const place of document.querySelectorAll("[data-tap]")) begin(place);

function begin(place) {
  const picture = place.querySelector("svg.marked");
  const { x, y } = Object.fromEntries([...place.querySelectorAll("input[type=hidden]")].map((input) => [input.name, input]));
  const exact = document.createElement("input");
  exact.type = "hidden";
  exact.name = "up";
  exact.disabled = true;
  place.append(exact);
  const squares = [...place.querySelectorAll("[name=square]")];
  const ways = [...place.querySelectorAll("[type=radio][name=up]")];
  const said = place.querySelector("[data-up-says]");
  const box = picture.viewBox.baseVal;
  const mark = drawn(picture, box.width / 420);
  let from = null;

  place.classList.add("by-tap");
  place.querySelector(".byhand").hidden = true;
  place.querySelector(".bytap").hidden = false;
  if (x.value && y.value) put(Number(x.value), Number(y.value));

  function at(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
    return { x: share(point.x / box.width), y: share(point.y / box.height) };
  }

  function put(shareX, shareY) {
    x.value = shareX.toFixed(4);
    y.value = shareY.toFixed(4);
    mark.setAttribute("transform", `translate(${shareX * box.width} ${shareY * box.height})`);
    mark.removeAttribute("hidden");
    mark.setAttribute("class", "new-mark there");
  }

  function point(degrees) {
    const arrow = mark.querySelector(".arrow");
    arrow.setAttribute("transform", `rotate(${degrees ?? 0})`);
    arrow.setAttribute("class", degrees === null ? "arrow off" : "arrow");
    mark.querySelector(".ring").setAttribute("class", degrees === null ? "ring" : "ring off");
    const nearest = degrees === null ? "" : String((Math.round(degrees / (360 / WAYS)) % WAYS) * (360 / WAYS));
    for (const way of ways) way.checked = way.value === nearest;
    said.textContent = nearest === "" ? "" : ways.find((way) => way.checked).parentElement.textContent.trim();
  }

  function exactly(degrees) {
    exact.value = degrees === null ? "" : degrees.toFixed(1);
    exact.disabled = degrees === null;
    for (const way of ways) way.disabled = degrees !== null; // one answer is sent
    point(degrees);
  }

  picture.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    event.preventDefault();
    picture.setPointerCapture(event.pointerId);
    from = { x: event.clientX, y: event.clientY };
    const share = at(event);
    for (const square of squares) square.checked = false;
    put(share.x, share.y);
    exactly(null);
  });
  picture.addEventListener("pointermove", (event) => {
    if (!from) return;
    const across = event.clientX - from.x;
    const down = event.clientY - from.y;
    if (Math.hypot(across, down) > DRAG) exactly(((Math.atan2(across, -down) * 180) / Math.PI + 360) % 360);
  });
  for (const end of ["pointerup", "pointercancel"])
    picture.addEventListener(end, () => {
      from = null;
      for (const way of ways) way.disabled = false;
    });

  for (const square of squares)
    square.addEventListener("change", () => {
      const [across, down] = square.value.split(" ").map(Number);
      put(across, down);
    });
  for (const way of ways)
    way.addEventListener("change", () => {
      exact.disabled = true;
      point(way.value === "" ? null : Number(way.value));
    });
  // The exact way wins over the nearest of the eight while nobody chose one of those since.
  place.closest("form").addEventListener("submit", () => {
    for (const way of ways) way.disabled = !exact.disabled;
  });
}

function share(value) {
  return Math.min(Math.max(value, 0), 1);
}

function drawn(picture, scale) {
  const make = (name, attributes, inside = []) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.append(...inside);
    return made;
  };
  const twice = (name, attributes) => ["k-edge", "k-blue"].map((css) => make(name, { ...attributes, class: `f-none cap ${css}` }));
  // The cabinetmaker's triangle: its tip is the top.
  const arrow = make("g", { class: "arrow off" }, twice("path", { d: "M0 -44 21 27H-21Z" }));
  const ring = make("g", { class: "ring" }, twice("circle", { r: 17 }));
  const inside = make("g", { transform: `scale(${scale})` }, [arrow, ring, ...twice("circle", { r: 1 })]);
  const mark = make("g", { class: "new-mark" }, [inside]);
  picture.append(mark);
  return mark;
}
