// The switch goes round: as the device says, sun, dark. The choice is kept in a
// cookie, so that the page comes in its colours before any script runs.
const root = document.documentElement, button = document.querySelector("[data-theme-switch]");
const words = { auto: "as the device", sun: "sun", dark: "dark" };
const next = { auto: "sun", sun: "dark", dark: "auto" };
const chosen = /(?:^|; )theme=(sun|dark)(?:;|$)/.exec(document.cookie)?.[1] || "auto";

function show(theme) {
  root.dataset.theme = theme;
  if (button) { button.hidden = false; button.textContent = "Light: " + words[theme]; }
}

// A page kept for when the laptop sleeps may be older than the choice.
show(chosen);
button?.addEventListener("click", () => {
  const theme = next[root.dataset.theme];
  document.cookie = `theme=${theme}; path=/; max-age=${theme === "auto" ? 0 : 34560000}; samesite=lax`;
  show(theme);
});
