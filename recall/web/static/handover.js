// A chosen file is sent as it is; all answers are saved as one, or shared where the device can.

const form = document.querySelector("form[data-take]");
const notice = form.querySelector(".notice");

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const fields = new FormData(form);
  const query = new URLSearchParams({ name: fields.get("file").name, same: fields.get("same") ?? "no" });
  const call = new XMLHttpRequest();
  call.open("POST", `handover?${query}`);
  call.setRequestHeader("X-Page", fields.get("page"));
  call.setRequestHeader("Content-Type", "application/octet-stream");
  call.onloadend = () => {
    notice.hidden = false;
    notice.textContent = call.responseText || "The program can't be reached; nothing was taken in.";
  };
  call.send(fields.get("file"));
});

// The answers count as handed over once the file was saved or shared, not where that was broken off. The file comes by a request of the page: a browser's own download may pass by the program inside it.
const link = document.querySelector("a[data-share]");
const shares = navigator.canShare?.({ files: [new File([""], "a.jsonl", { type: "text/plain" })] });
if (shares) link.textContent = "Share the file";
link.addEventListener("click", async (event) => {
  event.preventDefault();
  const answer = await fetch(`${link.href}?later=1`);
  const name = /filename="([^"]+)"/.exec(answer.headers.get("Content-Disposition"))[1];
  const file = new File([await answer.blob()], name, { type: "text/plain" });
  if (shares) {
    if (!(await navigator.share({ files: [file] }).then(() => true, () => false))) return;
  } else {
    const saved = document.createElement("a");
    saved.href = URL.createObjectURL(file);
    saved.download = name;
    saved.click();
  }
  const body = new URLSearchParams({ page: form.elements.page.value, answers: answer.headers.get("X-Answers") });
  await fetch("handed", { method: "POST", body });
  const told = document.querySelector("[data-here]");
  told.textContent = "The file holds every answer of this device. Keep it until the other one has taken it in.";
});
