// dictation writes what is spoken into the field, where the browser offers it.
export function dictation(button, field) {
  const Recognition = window.SpeechRecognition || window.webkitSpeechRecognition;
  if (!Recognition || !window.isSecureContext) return;
  button.hidden = false;
  let on = null;
  const done = () => { on = null; button.setAttribute("aria-pressed", "false"); };
  button.addEventListener("click", () => {
    if (on) { on.stop(); return; }
    on = new Recognition();
    on.lang = document.documentElement.lang;
    on.interimResults = false;
    on.onresult = (e) => {
      const said = [...e.results].slice(e.resultIndex).map((r) => r[0].transcript).join(" ");
      field.value = (field.value.trim() + " " + said).trim();
      field.dispatchEvent(new Event("input"));
      field.focus();
    };
    on.onend = done;
    on.onerror = done;
    button.setAttribute("aria-pressed", "true");
    on.start();
  });
}
