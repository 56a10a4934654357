export const NO_ANSWER = "The server does not answer: start it again with `bitewright serve`, on the same port.";
let answered = () => {};

// `act()`: the server has answered.
export function onAnswer(act) {
  answered = act;
}

// Ask the server; a refusal becomes an error with the server's own sentence.
export async function fetched(address, options = {}) {
  const answer = await fetch(address, { ...options, headers: { accept: "application/json", ...options.headers } }).catch((error) => {
    if (error.name === "AbortError") throw error;
    throw new Error(NO_ANSWER);
  });
  answered();
  if (!answer.ok) {
    const told = await answer.json().catch(() => ({ error: `The server answered with the number ${answer.status}.` }));
    const error = new Error(told.error);
    error.field = told.field;
    error.atField = told.at_field;
    error.status = answer.status;
    throw error;
  }
  return answer;
}

export const json = async (address, options) => (await fetched(address, options)).json();
