// Asking the bench, and entries that wait on this phone until they are in.

export class Away extends Error {}      // nobody answers: out of range, or the bench stopped
export class Unpaired extends Error {}
export class Refused extends Error {}   // it was heard, and is not taken as it is

const PATIENCE = 40000, LONG = 120000;

async function answered(path, { patience = PATIENCE, ...given }) {
  let answer;
  try {
    answer = await fetch(path, { ...given, signal: AbortSignal.timeout(patience) });
  } catch {
    throw new Away();
  }
  if (answer.status === 401) throw new Unpaired();
  if (answer.status === 429 || answer.status >= 500 || answer.status === 408) throw new Away();
  return answer;
}

async function request(path, given) {
  const answer = await answered(path, given);
  let told;
  try {
    told = await answer.json();
  } catch {
    throw new Away();
  }
  if (!answer.ok) throw new Refused(told.refused || told.problem || "It was not taken.");
  return told;
}

// A picture that the bench shows.
export async function image(path) {
  const answer = await answered(path, {});
  if (!answer.ok) throw new Refused((await answer.json()).problem);
  try { return await answer.blob(); } catch { throw new Away(); }
}

// Send a file; ``progress`` hears which share of it is on its way.
export function upload(path, file, signal, progress) {
  return new Promise((done, fail) => {
    const ask = new XMLHttpRequest(); // fetch cannot tell how far it is
    ask.open("POST", path);
    ask.setRequestHeader("content-type", file.type);
    ask.timeout = LONG;
    ask.upload.onprogress = (event) => { if (event.lengthComputable) progress(event.loaded / event.total); };
    ask.onerror = ask.ontimeout = ask.onabort = () => fail(new Away());
    ask.onload = () => {
      let told = {};
      try { told = JSON.parse(ask.responseText); } catch { /* not ours */ }
      if (ask.status === 401) fail(new Unpaired());
      else if ([408, 429].includes(ask.status) || ask.status >= 500) fail(new Away(told.problem || ""));
      else if (ask.status >= 400) fail(new Refused(told.problem || "It was not taken."));
      else done(told);
    };
    signal.addEventListener("abort", () => ask.abort());
    ask.send(file);
  });
}

export const get = (path) => request(path, {});
export const post = (path, body) => request(path, {
  method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body),
});
// What takes the bench some seconds, and more while it is busy.
export const postLong = (path, body) => request(path, {
  method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body), patience: LONG,
});
export const jobPath = (name) => `/api/jobs/${encodeURIComponent(name)}`;

// One key of the phone's storage an entry: two tabs never write over each other's.
const KEY = "vireton entry ";

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
}

export function waiting(job) {
  const found = [];
  for (let k = 0; k < localStorage.length; k += 1) {
    const key = localStorage.key(k);
    if (!key.startsWith(KEY)) continue;
    try {
      const one = JSON.parse(localStorage.getItem(key));
      if (!job || one.job === job) found.push({ ...one, key });
    } catch { /* not ours */ }
  }
  return found.sort((a, b) => (a.key < b.key ? -1 : 1));
}

let last = 0;
export function keep(entry) {
  last = Math.max(Date.now(), last + 1);
  const key = `${KEY}${String(last).padStart(15, "0")} ${entry.body.id}`;
  localStorage.setItem(key, JSON.stringify(entry)); // fails aloud where the phone is full
  tell("kept", { ...entry, key });
}

export function rewrite(entry) {
  const { key, ...kept } = entry;
  if (localStorage.getItem(key) !== null) localStorage.setItem(key, JSON.stringify(kept));
}

export function drop(entry) {
  localStorage.removeItem(entry.key);
  tell("dropped", entry);
}

const listeners = [];
export const listen = (heard) => listeners.push(heard);
const tell = (what, entry, result) => listeners.forEach((heard) => heard(what, entry, result));

let busy = false, again = false, timer = 0, pause = 1500;
export const link = { away: false, unpaired: false };

// Send what waits, job by job in order; a question or a refusal holds its own job only.
export async function flush() {
  if (busy) { again = true; return; }
  busy = true;
  clearTimeout(timer);
  try {
    do {
      again = false;
      const held = new Set();
      for (const entry of waiting()) {
        if (entry.state) held.add(entry.job);
        if (held.has(entry.job)) continue;
        const more = waiting(entry.job).length > 1;
        await send(entry, more, held);
      }
    } while (again);
    pause = 1500;
  } catch (error) {
    if (!(error instanceof Away || error instanceof Unpaired)) throw error;
    link.away = error instanceof Away;
    link.unpaired = error instanceof Unpaired;
    tell("away");
    pause = Math.min(pause * 1.5, 8000);
    timer = setTimeout(flush, pause);
  } finally {
    busy = false;
  }
}

async function send(entry, more, held) {
  let result;
  try {
    result = await post(`${jobPath(entry.job)}/entries${more ? "?brief=1" : ""}`, entry.body);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    result = { refused: error.message };
  }
  link.away = link.unpaired = false;
  if (result.taken) {
    localStorage.removeItem(entry.key);
    tell("taken", entry, result);
    return;
  }
  held.add(entry.job);
  const kept = { ...entry, state: result.asks ? "asks" : "refused", told: result.asks || result.refused };
  rewrite(kept);
  tell(kept.state, kept);
}

export function nudge() {
  pause = 1500;
  flush();
}
for (const event of ["online", "focus", "pageshow"]) addEventListener(event, nudge);
document.addEventListener("visibilitychange", () => { if (!document.hidden) nudge(); });
