// The theme is set before anything is drawn; the switch goes round: as the
// device says, sun, dark.
(() => {
  const root = document.documentElement;
  let kept = "auto";
  try { kept = localStorage.getItem("theme") || "auto"; } catch { /* no storage: as the device says */ }
  const words = { auto: "as the device", sun: "sun", dark: "dark" };
  const show = () => {
    root.dataset.theme = kept;
    const b = document.querySelector("[data-theme-switch]");
    if (b) { b.hidden = false; b.textContent = "Light: " + words[kept]; }
  };
  show();
  document.addEventListener("DOMContentLoaded", () => {
    show();
    document.querySelector("[data-theme-switch]")?.addEventListener("click", () => {
      kept = { auto: "sun", sun: "dark", dark: "auto" }[kept];
      try { localStorage.setItem("theme", kept); } catch { /* holds until the page is left */ }
      show();
    });
  });
})();
