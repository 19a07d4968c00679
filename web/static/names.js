// names are the titles of systems, parts, failures, symptoms, tools and facts
// about the vehicle, fetched once; null while there is no line.
let kept = null;
export async function names() {
  kept ||= fetch("/page/names").then((r) => (r.ok ? r.json() : null)).catch(() => null);
  const got = await kept;
  if (!got) kept = null;
  return got;
}

// facts are what is known of the vehicle, in an order that reads well: which
// car, then what it has.
const first = ["year", "make-unknown", "engine-litres"];
const plain = { year: "Year", "make-unknown": "Make and model", "engine-litres": "Engine, litres", mileage: "Mileage" };
export function facts(vehicle, n) {
  const rank = (k) => first.indexOf(k) + 1 || first.length + 1;
  return Object.entries(vehicle || {}).map(([id, value]) => ({ finding: "vehicle:" + id, id, title: n?.vehicle[id]?.title || plain[id] || id, outcome: value, words: n?.vehicle[id]?.values[value] || value }))
    .sort((a, b) => rank(a.id) - rank(b.id) || (a.id < b.id ? -1 : 1));
}
