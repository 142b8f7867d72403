// The receipt at the door: damage is touched on the photograph, the signature drawn with a finger. Where it was
// touched goes along with the form as shares of the picture, the signature as a picture. Without this script damage is
// placed by a square of the photograph, and the typed name stands for the signature.

const form = document.getElementById('receipt');
const list = document.getElementById('damages');
const row = document.getElementById('damage-row');
const picture = document.getElementById('damage-picture');
const svg = picture?.querySelector('svg');
const marks = [];

function fileInto(input, blob, name) {
  const carry = new DataTransfer();
  carry.items.add(new File([blob], name, { type: 'image/png' }));
  input.files = carry.files;
}

const drawn = (canvas) => new Promise((done) => canvas.toBlob(done, 'image/png'));

function takeIn(line) {
  const one = { line, spot: line.querySelector('[name=spot]') };
  line.querySelector('button').addEventListener('click', () => {
    marks.splice(marks.indexOf(one), 1);
    line.remove();
    paint();
    document.getElementById('damage-add').focus();
  });
  marks.push(one);
}

function addDamage(spot) {
  const line = row.content.firstElementChild.cloneNode(true);
  line.querySelector('[name=spot]').value = spot;
  takeIn(line);
  list.append(line);
  paint();
  line.querySelector('select').focus();
}

function shape(name, said, words = '') {
  const one = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(said)) one.setAttribute(key, value);
  one.textContent = words;
  return one;
}

// As the page itself draws damage that is kept: its number on a light disc.
function paint() {
  if (!svg) return;
  for (const old of svg.querySelectorAll('.just-marked')) old.remove();
  const { width, height } = svg.viewBox.baseVal;
  marks.forEach(({ spot }, at) => {
    const [sha256, x, y] = spot.value.split(' ');
    if (sha256 !== picture.dataset.sha256) return;
    const where = `translate(${x * width} ${y * height}) scale(${width / 420})`;
    const mark = shape('g', { class: 'just-marked', transform: where });
    mark.append(shape('circle', { class: 'f-sheet k-ink2', r: 13.6 }));
    mark.append(shape('text', { class: 'mid', x: 0, y: 5.2 }, String(list.start + at)));
    svg.append(mark);
  });
}

for (const line of list?.children ?? []) takeIn(line);
paint();

picture?.addEventListener('click', (event) => {
  const box = svg.getBoundingClientRect();
  const share = (part) => Math.min(Math.max(part, 0), 1).toFixed(4);
  const x = share((event.clientX - box.left) / box.width);
  addDamage(`${picture.dataset.sha256} ${x} ${share((event.clientY - box.top) / box.height)}`);
});
document.getElementById('damage-add')?.addEventListener('click', () => addDamage(''));

const pad = document.getElementById('signature-pad');
let signed = false;
if (pad) {
  document.querySelector('.signing').hidden = false;
  const pen = pad.getContext('2d');
  const clear = () => {
    pad.width = pad.clientWidth * 2;
    pad.height = pad.clientHeight * 2;
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, pad.width, pad.height);
    pen.lineWidth = 6;
    pen.lineCap = 'round';
    pen.lineJoin = 'round';
    pen.strokeStyle = '#1a2330';
    signed = false;
  };
  const at = (event) => {
    const box = pad.getBoundingClientRect();
    return [((event.clientX - box.left) / box.width) * pad.width, ((event.clientY - box.top) / box.height) * pad.height];
  };
  let down = false;
  clear();
  pad.addEventListener('pointerdown', (event) => {
    pad.setPointerCapture(event.pointerId);
    down = true;
    pen.beginPath();
    pen.moveTo(...at(event));
  });
  pad.addEventListener('pointermove', (event) => {
    if (!down) return;
    pen.lineTo(...at(event));
    pen.stroke();
    signed = true;
  });
  for (const over of ['pointerup', 'pointercancel']) pad.addEventListener(over, () => { down = false; });
  document.getElementById('signature-clear').addEventListener('click', clear);
}

let ready = false;
form?.addEventListener('submit', async (event) => {
  if (ready) return;
  event.preventDefault();
  const from = event.submitter;
  if (signed) fileInto(document.getElementById('signature'), await drawn(pad), 'signature.png');
  ready = true;
  form.requestSubmit(from);
});
