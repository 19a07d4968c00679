import "./plain.js";

// The report prints; everything else on these pages works without a script.
document.querySelector("[data-print]")?.addEventListener("click", () => print());
