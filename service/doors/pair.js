// The secret stands behind the # of the address, which browsers keep to themselves. It is taken out of
// the address bar and the history before anything else happens.
const secret = location.hash.slice(1);
history.replaceState(null, "", location.pathname);

const said = document.getElementById("said");
const form = document.getElementById("ask");

async function pair(name) {
  const answer = await fetch("/api/pairing", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ secret, name }),
  });
  if (answer.ok) {
    location.replace("/");
    return;
  }
  const problem = await answer.json();
  form.hidden = true;
  said.textContent = problem.detail;
}

if (secret) {
  said.textContent = "This device will be let in to the family's week until you shut it out.";
  form.hidden = false;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    pair(document.getElementById("name").value.trim() || "A device").catch(() => {
      said.textContent = "Lapful did not answer. Is its machine awake and in this network?";
    });
  });
}
