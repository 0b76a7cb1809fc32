// Notes as they are written: each save is shown within a moment, at the place that changed.

const desk = () => document.querySelector(".desk");
let waits = null;

function show({ file, line }) {
  const here = desk();
  const address = new URL(location.href);
  address.searchParams.set("deck", here.dataset.deck);
  if (file && (file !== here.dataset.file || line < +here.dataset.first || line > +here.dataset.last)) {
    address.searchParams.set("file", file);
    address.searchParams.set("at", line);
    address.hash = "";
  }
  waits?.abort();
  const call = (waits = new XMLHttpRequest());
  call.open("GET", address);
  call.responseType = "document";
  call.onload = () => {
    const next = call.response?.querySelector("main");
    if (!next) return;
    const open = [...document.querySelectorAll("details")].map((one) => one.open);
    document.title = call.response.title;
    document.querySelector("main").replaceWith(document.adoptNode(next));
    document.querySelectorAll("details").forEach((one, at) => (one.open = open[at] ?? one.open));
    history.replaceState(null, "", address);
    const changed = document.getElementById(`line-${line}`);
    const box = changed?.getBoundingClientRect();
    if (box && (box.bottom < 0 || box.top > window.innerHeight)) changed.scrollIntoView({ block: "center" });
    changed?.classList.add("changed");
  };
  call.send();
}

if (desk()) {
  const { deck, mark } = desk().dataset;
  const news = new EventSource(`notes-news?${new URLSearchParams({ deck, mark })}`);
  news.onmessage = (event) => show(JSON.parse(event.data));
  window.addEventListener("pagehide", () => news.close());
}
