// Ask the server; a refusal becomes an error with the server's own sentence.
export async function fetched(address, options = {}) {
  const answer = await fetch(address, { ...options, headers: { accept: "application/json", ...options.headers } });
  if (!answer.ok) {
    const told = await answer.json();
    const error = new Error(told.error);
    error.field = told.field;
    error.atField = told.at_field;
    error.status = answer.status;
    throw error;
  }
  return answer;
}

export const json = async (address, options) => (await fetched(address, options)).json();
