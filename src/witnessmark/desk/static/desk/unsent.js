// Entries that are not acknowledged yet, kept in this browser: sent again with the same ids, they count once.

const PLACE = 'witnessmark unsent';
const API = '/api/v1/daybook';

function read() {
  try {
    return JSON.parse(localStorage.getItem(PLACE)) || [];
  } catch {
    return [];
  }
}
const write = (entries) => localStorage.setItem(PLACE, JSON.stringify(entries));

export const waiting = () => read().filter((one) => !one.amiss).map((one) => one.entry);
export const refused = () => read().filter((one) => one.amiss).map((one) => ({ id: one.entry.id, says: one.amiss }));

export function keep(entries) {
  const known = new Set(read().map((one) => one.entry.id));
  write([...read(), ...entries.filter((entry) => !known.has(entry.id)).map((entry) => ({ entry }))]);
}

export function discard(ids) {
  write(read().filter((one) => !ids.includes(one.entry.id)));
}

const amissIn = (answer) => (answer.faults || answer.detail || []).map?.((one) => one.says || one.expected || one.msg || String(one)).join('; ');

async function post(entries, token) {
  return fetch(API, {
    method: 'POST',
    credentials: 'same-origin',
    headers: { 'Content-Type': 'application/json', 'X-CSRFToken': token },
    body: JSON.stringify(entries),
  });
}

let sending = null;

// What became of all that waits: `sent` and `refused` are ids; `away`: no network; `closed`: the door or the API is.
export function send(token) {
  sending = sending || sendAll(token).finally(() => { sending = null; });
  return sending;
}

async function sendAll(token) {
  const told = { sent: [], refused: [], away: false, closed: false };
  const entries = waiting();
  if (!entries.length) return told;
  let answer;
  try {
    answer = await post(entries, token);
  } catch {
    return { ...told, away: true };
  }
  if (answer.ok) {
    told.sent = entries.map((entry) => entry.id);
    discard(told.sent);
    return told;
  }
  if (answer.status >= 500) return { ...told, away: true };
  if (answer.status !== 400 && answer.status !== 422) return { ...told, closed: true };
  // All or none: one by one they tell which it is.
  for (const entry of entries) {
    let alone;
    try {
      alone = await post([entry], token);
    } catch {
      return { ...told, away: true };
    }
    if (alone.ok) {
      told.sent.push(entry.id);
      discard([entry.id]);
    } else if (alone.status === 400 || alone.status === 422) {
      told.refused.push(entry.id);
      const says = amissIn(await alone.json().catch(() => ({}))) || 'the day book does not take it';
      write(read().map((one) => (one.entry.id === entry.id ? { ...one, amiss: says } : one)));
    }
  }
  return told;
}
