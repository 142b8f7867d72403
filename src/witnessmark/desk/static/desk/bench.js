// The bench: its keys post to the day book, and what can't be sent waits here until it is acknowledged.
// A form carries its entries ready made, with ids; what is typed goes where the names of its fields say (see deeds.py).

import { discard, keep, refused, send, waiting } from './unsent.js';

const bare = /^\s*\d+([.,]\d+)?\s*$/;
const ofMass = /(^|[\d\s½¼¾])(mg|g|kg|lb|lbs|gram|grams|pound|pounds|(?<!fl\.? ?)oz|ounces?)\.?\s*$/i;

function byTheClock(since) {
  const ran = clock() - Date.parse(since);
  return Number.isFinite(ran) ? `${Math.max(1, Math.round(ran / 60000))} min` : '';
}

// The shop's clock: that of the server as of this page, and the time since.
const shown = document.querySelector('[data-clock]');
const ahead = shown ? Date.parse(shown.dateTime) - Date.now() : 0;
const clock = () => Date.now() + ahead;

function within(thing, word) {
  if (Array.isArray(thing)) return word === '*' ? thing : word in thing ? [thing[word]] : [];
  return thing && typeof thing === 'object' && word in thing ? [thing[word]] : [];
}

function put(entry, path, typed) {
  const key = path.pop();
  let here = [entry];
  for (const word of path) here = here.flatMap((thing) => within(thing, word));
  for (const thing of here) {
    if (key === 'amount') { delete thing.volume; delete thing.mass; }
    if (typed && key === 'piece' && thing.piece !== typed) delete thing.step;
    if (typed) thing[key === 'amount' ? (ofMass.test(typed) ? 'mass' : 'volume') : key] = typed;
    else delete thing[key];
  }
}

export function entriesOf(form) {
  const said = new FormData(form);
  const entries = JSON.parse(said.get('entries'));
  for (const name of new Set(said.keys())) {
    const [how, number, ...path] = name.split('.');
    if (!['set', 'join'].includes(how) || !entries[number]) continue;
    const rest = [number, ...path].join('.');
    let typed = how === 'join' ? said.getAll(name).join('; ') : String(said.get(name)).trim();
    if (!typed && said.get(`clock.${rest}`)) typed = byTheClock(said.get(`clock.${rest}`));
    if (bare.test(typed) && said.get(`unit.${rest}`)) typed = `${typed.trim()} ${said.get(`unit.${rest}`)}`;
    put(entries[number], path, typed);
  }
  const happened = new Date(clock()).toISOString();
  return entries.map((entry) => ({ happened, ...entry, who: entry.who || said.get('who') }));
}

const slip = () => document.getElementById('unsent');

function say(words = '') {
  const entries = waiting();
  const amiss = refused();
  const lines = [words];
  if (entries.length) lines.push(entries.length === 1 ? '1 entry waits for the network.' : `${entries.length} entries wait for the network.`);
  if (amiss.length) lines.push(`Not taken: ${amiss.map((one) => one.says).join('; ')}`);
  const text = lines.filter(Boolean).join(' ');
  slip().hidden = !text;
  slip().querySelector('p').textContent = text;
  slip().querySelector('button').hidden = !amiss.length;
}

const token = () => document.querySelector('[name=csrfmiddlewaretoken]')?.value || '';

async function written(form) {
  const entries = entriesOf(form);
  keep(entries);
  const answer = await send(token());
  if (answer.away) { say(); return; }
  if (answer.refused.some((id) => entries.some((one) => one.id === id)) || answer.closed) {
    // The page itself says beside the field what is amiss; its ids are the same, so nothing counts twice.
    discard(entries.map((one) => one.id));
    form.dataset.plain = 'yes';
    form.submit();
    return;
  }
  const next = new URL(location.href);
  const at = form.elements.at?.value;
  if (at) next.searchParams.set('at', at); else next.searchParams.delete('at');
  const who = form.elements.who?.value;
  if (who) next.searchParams.set('who', who);
  next.hash = '';
  location.replace(next);
}

function hold(form) {
  for (const one of form.elements) if (one.type === 'submit') one.disabled = true;
}

document.addEventListener('submit', (event) => {
  const form = event.target;
  if (form.dataset.held) { event.preventDefault(); return; }
  if ('deed' in form.dataset && form.dataset.plain !== 'yes') {
    event.preventDefault();
    form.dataset.held = 'yes';
    written(form);
    hold(form);
  } else if ('online' in form.dataset && !navigator.onLine) {
    event.preventDefault();
    say('There is no network: this is kept on the page until there is. Send it then.');
  } else {
    form.dataset.held = 'yes';
  }
});

document.addEventListener('click', (event) => {
  if (!event.target.closest('#unsent button')) return;
  discard(refused().map((one) => one.id));
  say();
});

// What somebody is saying of the day stays until it is sent.
const draft = (area) => area.form?.dataset.draft === area.name && `witnessmark draft ${area.name}`;
function drafted() {
  for (const form of document.querySelectorAll('[data-draft]')) {
    const area = form.elements[form.dataset.draft];
    if (!area.value && !document.querySelector('.faults')) area.value = localStorage.getItem(draft(area)) || '';
  }
}
document.addEventListener('input', (event) => { if (draft(event.target)) localStorage.setItem(draft(event.target), event.target.value); });
document.addEventListener('submit', (event) => {
  const area = event.target.elements[event.target.dataset.draft];
  if (area && navigator.onLine) localStorage.removeItem(draft(area));
});

async function again() {
  if (!waiting().length) return;
  const answer = await send(token());
  if (!answer.away && answer.sent.length && !writes()) location.reload(); else say();
}

// Clocks go on; the page is read afresh when nobody is writing on it.
const writes = () => document.querySelector('.key[open], .faults') || /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement?.tagName);
const busy = () => writes() || document.querySelector('main details[open], [data-held]');

function tick() {
  for (const one of document.querySelectorAll('[data-since]')) {
    const minutes = Math.max(0, Math.floor((clock() - Date.parse(one.dataset.since)) / 60000));
    one.textContent = minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  }
}

async function afresh() {
  if (document.hidden || busy() || waiting().length) return;
  const answer = await fetch(location.href, { credentials: 'same-origin' }).catch(() => null);
  if (!answer?.ok || answer.redirected || busy()) return;
  const read = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('main');
  if (!read) return;
  document.getElementById('main').replaceChildren(...read.childNodes);
  drafted();
  say();
}

if (slip()) {
  say();
  drafted();
  again();
  addEventListener('online', again);
  addEventListener('offline', () => say());
  addEventListener('pageshow', (event) => { if (event.persisted) location.reload(); });
  setInterval(again, 15000);
  setInterval(tick, 20000);
  setInterval(afresh, 60000);
}
