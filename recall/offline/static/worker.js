// The program's own thread: Python, the store in its memory, and the events, which are kept before an answer is given.

import { loadPyodide } from "./runtime/pyodide.mjs";

const FORMAT = 1;
const root = new URL("./", self.location.href);
const done = (request) => new Promise((good, bad) => { request.onsuccess = () => good(request.result); request.onerror = () => bad(request.error); });
let base, python, tablet, busy = Promise.resolve(), since = 0;

class Told extends Error {}

function open() {
  const request = indexedDB.open("recall", FORMAT);
  request.onupgradeneeded = () => { for (const name of ["events", "kept"]) if (!request.result.objectStoreNames.contains(name)) request.result.createObjectStore(name); };
  return done(request).catch((error) => {
    if (error.name !== "VersionError") throw error;
    throw new Told("This page is older than the answers on this device, so nothing is written. Load it anew while there is a network.");
  });
}

// One transaction on the disk before anything is acknowledged.
function keep(events, others) {
  const change = base.transaction(["events", "kept"], "readwrite", { durability: "strict" });
  for (const [id, line] of events) change.objectStore("events").put(line, id);
  for (const [name, value] of Object.entries(others)) change.objectStore("kept").put(value, name);
  return new Promise((good, bad) => { change.oncomplete = good; change.onerror = change.onabort = () => bad(change.error); });
}

const read = (store, key) => done(base.transaction(store).objectStore(store).get(key));
async function bytes(name) {
  const { body } = await fetch(new URL(name, root));
  const plain = name.endsWith(".gz") ? body.pipeThrough(new DecompressionStream("gzip")) : body;
  return new Uint8Array(await new Response(plain).arrayBuffer());
}

async function begin() {
  const mine = await new Promise((good) => navigator.locks.request("recall", { ifAvailable: true }, (lock) => {
    good(lock !== null);
    return lock && new Promise(() => {});
  }));
  if (!mine) throw new Told("It is open in another tab or window of this browser. Go on there, or close it and load this one anew.");
  base = await open();
  python = await loadPyodide({ indexURL: new URL("runtime/", root).href });
  await unpack();
  python.runPython("import sys; sys.path.insert(0, '/lib/recall')");
  const boot = python.pyimport("recall.offline.boot");
  const random = python.pyimport("secrets");
  tablet = boot.Tablet(random.SystemRandom());
  const ids = await done(base.transaction("events").objectStore("events").getAllKeys());
  const copy = await read("kept", "snapshot");
  const lacking = copy && ids.length ? tablet.open_snapshot(python.toPy(copy), python.toPy(ids)) : undefined;
  if (lacking) {
    const lines = await Promise.all(lacking.toJs().map((id) => read("events", id)));
    if (lines.length) tablet.take(python.toPy(lines));
  } else {
    tablet.make_anew(python.toPy(await done(base.transaction("events").objectStore("events").getAll())));
  }
  tablet.begin((await read("kept", "local")) ?? "", ids.length);
  for (const name of (await (await fetch(new URL("files.json", root))).json()).revisions) {
    if ((await read("kept", `loaded ${name}`)) !== undefined) continue;
    self.postMessage({ says: "Taking in what is taught …" });
    const why = tablet.load(name.split("/").pop().replace(".gz", ""), python.toPy(await bytes(name)));
    await written({ [`loaded ${name}`]: why });
  }
  await written({});
  if (!copy) await snapshot();
  self.postMessage({ says: "Making the next start quick …" });
  await compiled();
  self.postMessage({ ready: true });
}

async function unpack() {
  const cache = await caches.open("compiled");
  const { packages } = await (await fetch(new URL("files.json", root))).json();
  const kept = await cache.match(packages);
  python.FS.mkdirTree("/lib/recall");
  if (kept) return python.unpackArchive(await kept.arrayBuffer(), "tar", { extractDir: "/lib/recall" });
  python.unpackArchive(await bytes(packages), "zip", { extractDir: "/lib/recall" });
}

// What Python compiled at the first start is kept for the next ones.
async function compiled() {
  const cache = await caches.open("compiled");
  const { packages } = await (await fetch(new URL("files.json", root))).json();
  if (await cache.match(packages)) return;
  python.runPython("import compileall, shutil; compileall.compile_dir('/lib/recall', quiet=2); shutil.make_archive('/home/lib', 'tar', '/lib/recall')");
  for (const old of await cache.keys()) await cache.delete(old);
  await cache.put(packages, new Response(python.FS.readFile("/home/lib.tar")));
  python.FS.unlink("/home/lib.tar");
}

async function written(others) {
  const events = tablet.new_events().toJs();
  await keep(events, { ...others, local: tablet.local() });
  since += events.length;
}

async function snapshot() {
  await keep([], { snapshot: tablet.snapshot().toJs() });
  since = 0;
}

async function answer({ method, path, query, headers, body }) {
  const sent = [python.toPy(headers), python.toPy(new Uint8Array(body))];
  const [status, head, content] = (await tablet.answer(method, path, query, ...sent)).toJs();
  await written({});
  return { status, head, content };
}

self.addEventListener("message", ({ data, ports }) => {
  busy = busy.then(async () => {
    if (data.begin) return begin();
    ports[0].postMessage(await answer(data));
    if (since >= 25) await snapshot();
  }).catch((error) => {
    const failed = error instanceof Told ? error.message : `The program stopped: ${String(error.message).trim().split("\n").pop()}`;
    self.postMessage({ failed, help: error instanceof Told ? "" : "What was answered before is kept. Load this page again." });
    throw error;
  });
});
