// SPDX-License-Identifier: GPL-3.0-or-later
// The shell of the page, kept for when the shop PC does not answer. Answers never are.
const KEPT = "levigate-shell";
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (e) => {
  const at = new URL(e.request.url);
  if (e.request.method !== "GET" || (at.pathname !== "/" && !at.pathname.startsWith("/web/"))) return;
  e.respondWith(fetch(e.request).then((r) => {
    if (r.ok) { const copy = r.clone(); caches.open(KEPT).then((c) => c.put(e.request, copy)); }
    return r;
  }).catch(() => caches.match(e.request).then((r) => r || Response.error())));
});
