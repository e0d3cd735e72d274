// The pages work without this file. It makes them quicker and lets them be read
// where there is no reception.
"use strict";
(() => {
  const root = document.documentElement;
  const $ = (id) => document.getElementById(id);

  // A page from the copy on this device says how old it is.
  const served = root.dataset.served;
  if (served && served !== "live") {
    const stale = $("stale");
    const tell = () => {
      const min = Math.max(1, Math.round((Date.now() - Date.parse(served)) / 60000));
      const age = min < 120 ? min + " min" : min < 2880 ? Math.round(min / 60) + " h" : Math.round(min / 1440) + " days";
      stale.textContent = "No connection. This is the copy of " + age + " ago; the weather may have changed since.";
    };
    tell();
    stale.hidden = false;
    setInterval(tell, 60000);
    addEventListener("online", () => location.reload());
  }

  if ("serviceWorker" in navigator && window.isSecureContext) {
    navigator.serviceWorker.register("/sw.js", { scope: "/" }).catch(() => {});
  }

  const say = (text) => {
    const p = document.createElement("p");
    p.className = "notice";
    p.textContent = text;
    $("said").replaceChildren(p);
  };

  const page = () => location.pathname + location.search;
  let shown = page();

  // Forms are sent in place; the page that comes back takes the place of this one.
  let sending = false;
  const send = async (form, button) => {
    const data = new URLSearchParams(new FormData(form, button));
    sending = true;
    if (button) button.disabled = true;
    say("One moment …");
    try {
      const r = await fetch(form.action, { method: "POST", body: data, headers: { Accept: "text/html" } });
      if (new URL(r.url).pathname === "/sign-in") { location.href = r.url; return; }
      const next = new DOMParser().parseFromString(await r.text(), "text/html");
      const main = next.querySelector("main");
      if (!main) throw new Error("no page");
      document.title = next.title;
      document.querySelector("main").replaceWith(document.adoptNode(main));
      const at = form.dataset.at || form.id; // r.url has lost where on the page the answer stands
      if (r.redirected) history.pushState(null, "", r.url + (at ? "#" + at : ""));
      shown = page();
      const problem = $("problem") || document.querySelector("[role=alert]");
      if (problem) {
        problem.tabIndex = -1;
        problem.focus();
      } else {
        const words = $("said").textContent.trim() || "Done.";
        $("main").focus({ preventScroll: true });
        const to = location.hash && document.querySelector(location.hash);
        if (to) to.scrollIntoView(); else scrollTo(0, 0);
        setTimeout(() => say(words), 50);
      }
      enhance();
    } catch {
      say("No connection: nothing was sent. What you filled in is still here.");
    } finally {
      sending = false;
      if (button) button.disabled = false;
    }
  };
  document.addEventListener("submit", (e) => {
    const form = e.target;
    if (!form.matches("form[data-quick]")) return;
    e.preventDefault();
    if (!sending) send(form, e.submitter);
  });
  // Back to another page than the one shown. A step within the page tells of itself here too.
  addEventListener("popstate", () => { if (page() !== shown) location.reload(); });

  // A tile of the boat opens its form.
  const open = () => {
    const at = /^#[\w-]+$/.test(location.hash) && document.querySelector(location.hash);
    let hidden = false;
    for (let d = at && at.closest("details"); d; d = d.parentElement.closest("details")) {
      hidden ||= !d.open;
      d.open = true;
    }
    if (hidden) at.scrollIntoView(); // else the browser has been there, with its focus
  };
  addEventListener("hashchange", open);

  const later = (ms, f) => {
    let t;
    return (...a) => { clearTimeout(t); t = setTimeout(() => f(...a), ms); };
  };

  // A job is checked while it is typed.
  const check = later(500, async (area) => {
    const body = new URLSearchParams({ text: area.value });
    const token = area.form.elements.token;
    if (token) body.set("token", token.value);
    try {
      const r = await fetch(area.dataset.check, { method: "POST", body });
      if (!r.ok) return;
      const page = new DOMParser().parseFromString(await r.text(), "text/html");
      $("checked").replaceChildren(...document.adoptNode(page.body).childNodes);
    } catch { /* the server checks once more */ }
  });

  // A figure that is none is told at once.
  const figure = (input) => {
    const v = input.value.trim().replace(",", ".");
    const bad = v !== "" && !Number.isFinite(Number(v));
    input.setAttribute("aria-invalid", String(bad));
    input.setCustomValidity(bad ? "Write it in figures, like 13.4." : "");
  };

  // The hour of the boat's picture.
  const hour = later(250, async (range) => {
    const url = new URL(location.href);
    url.searchParams.set("hour", range.value);
    try {
      const r = await fetch(url);
      const page = new DOMParser().parseFromString(await r.text(), "text/html");
      const now = page.getElementById("boat-at");
      if (r.ok && now) $("boat-at").replaceChildren(...document.adoptNode(now).childNodes);
    } catch { /* the picture stays */ }
  });

  document.addEventListener("input", (e) => {
    const t = e.target;
    if (t.matches("[data-check]")) check(t);
    if (t.matches("[inputmode=decimal]")) figure(t);
    if (t.matches("[data-hours] input[type=range]")) {
      t.form.querySelector("output").textContent = String(t.value).padStart(2, "0") + ":00";
      hour(t);
    }
  });

  document.addEventListener("click", async (e) => {
    const copy = e.target.closest("[data-copy]");
    if (copy) {
      const area = $(copy.dataset.copy);
      try { await navigator.clipboard.writeText(area.value); } catch { area.select(); document.execCommand("copy"); }
      say("Copied.");
    }
    if (e.target.closest("[data-print]")) print();
  });

  const enhance = () => {
    document.querySelectorAll("[data-copy], [data-print]").forEach((b) => { b.hidden = false; });
    open();
  };
  enhance();
})();
