// Reads {docs: [text], queries: [[term]], k1, b} on standard input and prints,
// a query a row, the score of each document as okapibm25 gives it.
const BM25 = require("okapibm25").default;
let text = "";
process.stdin.on("data", (d) => (text += d)).on("end", () => {
  const { docs, queries, k1, b } = JSON.parse(text);
  process.stdout.write(JSON.stringify(queries.map((q) => BM25(docs, q, { k1, b }))));
});
