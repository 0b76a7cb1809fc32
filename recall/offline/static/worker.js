// The program's own thread: Python, the store in its memory, and the events, which are kept before an answer is given.

import { loadPyodide } from "./runtime/pyodide.mjs";

const FORMAT = 1; // of what is kept: one more with each new type or field of an event
const OFTEN = 25; // events after which the copy of the store is made anew
const root = new URL("./", self.location.href);
const done = (request) => new Promise((good, bad) => { request.onsuccess = () => good(request.result); request.onerror = () => bad(request.error); });
const say = (says) => self.postMessage({ says });
const step = (number, what) => say(`Starting, ${number} of 4: ${what} …`);
let base, python, tablet, program, local, imported = 0, busy = Promise.resolve(), since = 0;

class Told extends Error {
  constructor(what, help = "") { super(what); this.help = help; }
}

function open() {
  const request = indexedDB.open("recall", FORMAT);
  request.onupgradeneeded = () => { for (const name of ["events", "kept"]) if (!request.result.objectStoreNames.contains(name)) request.result.createObjectStore(name); };
  return done(request).catch((error) => {
    if (error.name !== "VersionError") throw error;
    throw new Told("This page is older than the answers on this device, so nothing is written.", "Load it anew while there is a network.");
  });
}

// One transaction on the disk before anything is acknowledged. others: by name; null takes away.
async function put(events, others) {
  const change = base.transaction(["events", "kept"], "readwrite", { durability: "strict" });
  const over = new Promise((good, bad) => { change.oncomplete = good; change.onerror = change.onabort = () => bad(change.error); });
  for (const [id, line] of events) change.objectStore("events").put(line, id);
  for (const [name, value] of Object.entries(others)) value === null ? change.objectStore("kept").delete(name) : change.objectStore("kept").put(value, name);
  return over;
}

const isFull = (error) => error?.name === "QuotaExceededError";

// Where the storage is full, what can be made anew gives way to answers.
async function keep(events, others) {
  try {
    await put(events, others);
  } catch (error) {
    if (!isFull(error)) throw error;
    await put([], { snapshot: null, compiled: null });
    await put(events, others).catch((again) => {
      if (!isFull(again)) throw again;
      if (events.length) throw new Told("The storage of this device is full: the last answer isn't kept. Those before it are.", "Free some, then load this page again. It hands over without any.");
    });
  }
}

const read = (name) => done(base.transaction("kept").objectStore("kept").get(name));
const events = () => base.transaction("events").objectStore("events");

async function bytes(name) {
  const { body } = await fetch(new URL(name, root));
  const plain = name.endsWith(".gz") ? body.pipeThrough(new DecompressionStream("gzip")) : body;
  return new Uint8Array(await new Response(plain).arrayBuffer());
}

// One tab holds the program, so that no two write; another waits for it to be closed.
async function alone() {
  const hold = (wanted, good) => navigator.locks.request("recall", wanted, (lock) => { good(lock); return lock && new Promise(() => {}); });
  if (await new Promise((good) => hold({ ifAvailable: true }, good))) return;
  say("It is open in another tab or window of this browser. Go on there, or close it: then it starts here.");
  await new Promise((good) => hold({}, good));
  say("Starting …");
}

async function begin() {
  await alone();
  base = await open();
  step(1, "the language that it is written in");
  const { files, revisions } = await (await fetch(new URL("files.json", root))).json();
  const packages = Object.keys(files).find((name) => name.startsWith("program-"));
  program = JSON.stringify(Object.entries(files).filter(([name]) => name === packages || name.startsWith("runtime/")));
  const kept = await read("compiled");
  const compiled = kept?.program === program ? kept : { imported: 0, own: await bytes(packages) };
  const stdLibURL = compiled.library && URL.createObjectURL(new Blob([compiled.library]));
  python = await loadPyodide({ indexURL: new URL("runtime/", root).href, ...(stdLibURL && { stdLibURL }) });
  step(2, "the program");
  python.FS.mkdirTree("/lib/recall");
  python.FS.writeFile("/lib/recall.zip", compiled.own);
  python.unpackArchive(compiled.own, "zip", { extractDir: "/lib/recall" });
  python.runPython("import sys; sys.path.insert(0, '/lib/recall'); sys.dont_write_bytecode = False");
  imported = compiled.imported;
  tablet = python.pyimport("recall.offline.boot").Tablet(python.pyimport("secrets").SystemRandom());
  step(3, "your answers");
  await derive();
  for (const [name, digest] of Object.entries(revisions)) {
    const loaded = `loaded ${name} ${digest}`;
    if ((await read(loaded)) === "") continue;
    step(4, "what is taught");
    await written({ [loaded]: tablet.load(name.split("/").pop().replace(".gz", ""), python.toPy(await bytes(name))) });
  }
  await written({});
  self.postMessage({ ready: true });
  if (since >= OFTEN || !imported) setTimeout(() => work(spare), 3000);
}

// The store, out of the copy and the events that it lacks, or of all events.
async function derive() {
  const ids = await done(events().getAllKeys());
  const copy = await read("snapshot");
  const lacking = copy && ids.length ? tablet.open_snapshot(python.toPy(copy), python.toPy(ids)) : undefined;
  const lines = await (lacking ? Promise.all(lacking.toJs().map((id) => done(events().get(id)))) : done(events().getAll()));
  const why = !lacking ? tablet.make_anew(python.toPy(lines)) : lines.length ? tablet.take(python.toPy(lines)) : "";
  if (why) throw new Told(why, "Nothing is written, and nothing that was answered is lost.");
  since = lacking ? lines.length : OFTEN;
  local = await read("local");
  tablet.begin(local ?? "", ids.length);
}

async function written(others) {
  const fresh = tablet.new_events().toJs();
  const now = tablet.local();
  if (now !== local) others.local = local = now;
  if (fresh.length || Object.keys(others).length) await keep(fresh, others);
  since += fresh.length;
}

// What spares the next start its work: a copy of the store, and what Python compiled.
async function spare() {
  const others = { snapshot: tablet.snapshot().toJs() };
  const grown = python.pyimport("recall.offline.quick").grown(imported)?.toJs();
  if (grown) others.compiled = { program, imported: (imported = grown[0]), own: grown[1], library: grown[2] };
  since = 0;
  await put([], others).catch((error) => { if (!isFull(error)) throw error; });
}

async function answer({ method, path, query, headers, body }) {
  const sent = [python.toPy(headers), python.toPy(new Uint8Array(body))];
  const [status, head, content] = (await tablet.answer(method, path, query, ...sent)).toJs();
  await written({});
  return { status, head, content };
}

// One thing after another. A start that failed is tried next time from the events alone.
function work(what) {
  busy = busy.then(what).catch(async (error) => {
    if (base && !tablet) await put([], { snapshot: null, compiled: null }).catch(() => {});
    const told = error instanceof Told;
    const failed = told ? error.message : `The program stopped: ${String(error.message).trim().split("\n").pop()}`;
    self.postMessage({ failed, help: told ? error.help : "What was answered before is kept. Load this page again." });
    throw error;
  });
}

self.addEventListener("message", ({ data, ports }) => work(async () => {
  if (data.begin) return begin();
  if ("lasting" in data) return tablet.tell_lasting(data.lasting);
  ports[0].postMessage(await answer(data));
  if (since >= OFTEN) await spare();
}));
