// Everything of the program is kept at the first visit; what the page asks (below app/) goes to the tab that runs it.

const root = new URL("./", self.location.href);
const MINE = `${root.pathname} `; // other pages of this host keep theirs
const VERSION = MINE + "DIGEST";

async function keep() {
  const cache = await caches.open(VERSION);
  const { files, runtime, at } = await (await fetch("files.json", { cache: "no-cache" })).json();
  await cache.addAll(files.map((name) => new Request(new URL(name, root), { cache: "reload" })));
  for (const [name, integrity] of Object.entries(runtime)) {
    const answer = await fetch(at ? at + name : new URL(`runtime/${name}`, root), { integrity, cache: "no-cache" });
    const { headers } = answer;
    await cache.put(new URL(`runtime/${name}`, root), new Response(await answer.blob(), { headers: { "Content-Type": headers.get("Content-Type") } }));
  }
}

self.addEventListener("install", (event) => event.waitUntil(keep().then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(tidy().then(() => self.clients.claim())));

async function tidy() {
  for (const name of await caches.keys()) if (name !== VERSION && name.startsWith(MINE)) await caches.delete(name);
}

async function ask(request) {
  const url = new URL(request.url);
  const body = await request.arrayBuffer();
  const headers = [["content-type", request.headers.get("content-type") ?? ""]];
  // A form of another site has no referrer of ours, and so no origin: the page refuses it.
  if (request.referrer.startsWith(root.href)) headers.push(["origin", "http://127.0.0.1"]);
  const token = request.headers.get("x-page");
  if (token) headers.push(["x-page", token]);
  const plain = { method: request.method, path: `/${url.pathname.slice(root.pathname.length + 4)}`, query: url.search.slice(1), headers, body };
  const shells = (await self.clients.matchAll({ type: "window", includeUncontrolled: true })).filter(
    (client) => [root.pathname, `${root.pathname}index.html`].includes(new URL(client.url).pathname),
  );
  const answered = shells.map((client) => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    client.postMessage({ request: plain }, [port2]);
  }));
  const late = new Promise((done) => setTimeout(done, 60000, null));
  const said = await Promise.race([...answered, late]);
  if (!said) return new Response("The program isn't running: open it again.", { status: 504 });
  const { status, head, content } = said;
  if (status >= 300 && status < 400) {
    const to = new URL(Object.fromEntries(head).location, url);
    return Response.redirect(to, 303);
  }
  return new Response([204, 304].includes(status) ? null : content, { status, headers: head });
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (url.origin !== root.origin || !url.pathname.startsWith(root.pathname)) return;
  if (url.pathname.startsWith(`${root.pathname}app/`)) return event.respondWith(ask(event.request));
  if (event.request.method !== "GET") return;
  const name = url.pathname === root.pathname ? new URL("index.html", root) : url.origin + url.pathname;
  event.respondWith(caches.open(VERSION).then((cache) => cache.match(name)).then((kept) => kept ?? fetch(event.request)));
});
