// Sends the marks that are kept, in order, each once; the pages do it, and the worker where there is one.
"use strict";

const ANSWER_WITHIN = 20_000;
const AGAIN = new Set([408, 425, 429]);

let underWay = null;

// How it ended: "sent", "away" if nobody answered, or "unpaired". Two tabs do not send at once where locks exist;
// elsewhere the server takes each mark once by its id.
function sendMarks() {
  const sent = () => navigator.locks?.request("steading-marks", sendEach) ?? sendEach();
  underWay ??= sent().finally(() => (underWay = null));
  return underWay;
}

async function sendEach() {
  for (;;) {
    const mark = (await everyMark()).find((one) => !one.answer);
    if (!mark) return "sent";
    const answer = await asked(mark).catch(() => null);
    if (answer?.status === 401) return "unpaired";
    if (!answer || answer.status >= 500 || AGAIN.has(answer.status)) return "away";
    if (answer.ok) await dropMark(mark.number);
    else await changeMark({ ...mark, answer: await told(answer) });
  }
}

// A mark says when it was tapped, so that it may arrive in any order; one chosen over another's says what it has seen.
function asked({ household, date, step, mark, id, tapped_at, seen_version }) {
  const said = { request_id: id, ...(seen_version ? { seen_version } : { tapped_at }) };
  const address = `/api/days/${date}/marks/${encodeURIComponent(step)}`;
  const how = {
    headers: { "Content-Type": "application/json", "Steading-Household": household },
    redirect: "error",
    signal: AbortSignal.timeout(ANSWER_WITHIN),
  };
  return mark
    ? fetch(address, { ...how, method: "PUT", body: JSON.stringify({ mark, ...said }) })
    : fetch(`${address}?${new URLSearchParams(said)}`, { ...how, method: "DELETE" });
}

// Why a mark was not taken: another one's newer mark, or what speaks against it in words.
async function told(answer) {
  const problem = await answer.json().catch(() => ({}));
  const { mark = null, name = "", at = "" } = problem.clash ?? {};
  return problem.clash ? { newer: { mark, name, at, seen_version: problem.version } } : { detail: problem.detail ?? "" };
}
