// The phrase of a QR code stands behind the # and never left the device.
const phrase = decodeURIComponent(location.hash.slice(1)).replace(/-/g, " ");
if (phrase) {
  const field = document.getElementById("phrase");
  field.value = phrase;
  history.replaceState(null, "", location.pathname);
}
