// Saves what is filled in as a job file and keeps a draft on this device. It judges nothing.
"use strict";
(function () {
  const form = document.getElementById("sheet");
  const said = document.getElementById("said");
  const base = JSON.parse(document.getElementById("job").textContent);
  const added = JSON.parse(document.getElementById("added").textContent);
  const fields = Array.from(form.querySelectorAll("[data-path]"));
  const drafts = "changeout-sheet:" + base.job_id;

  // What a field says, as a job file writes it; undefined where it says nothing new.
  function factOf(field) {
    const text = field.value.trim();
    const isChoice = ["flag", "choice"].includes(field.dataset.form);
    const shown = isChoice ? text.replace(/_/g, " ") : text;
    if (text === "" || shown === field.dataset.written) return undefined;
    if (text === "?") return { not_known: "noted on the field sheet" };
    if (text === "(none)" || (!isChoice && text.toLowerCase() === "none")) return { none: "noted on the field sheet" };
    if (field.dataset.form === "flag") return text === "yes";
    const isNumber = /^-?\d+(\.\d+)?$/.test(text);
    return isNumber && ["quantity", "count"].includes(field.dataset.form) ? Number(text) : text;
  }

  function put(job, path, fact) {
    const steps = path.split(".");
    let at = job;
    steps.slice(0, -1).forEach(function (step, index) {
      const next = /^\d+$/.test(steps[index + 1]) ? [] : {};
      if (at[step] === undefined) at[step] = next;
      at = at[step];
    });
    at[steps[steps.length - 1]] = fact;
  }

  // How a fact is known; what was said of it before goes. Nothing is said of what could not be found out.
  function know(job, path, word, fact) {
    const section = form.dataset.knownBy;
    if (!section || !word) return;
    const known = job[section] || {};
    for (const name of Object.keys(known)) known[name] = known[name].filter(function (one) { return one !== path; });
    if (!(fact && fact.not_known)) known[word] = (known[word] || []).concat([path]);
    for (const name of Object.keys(known)) if (known[name].length === 0) delete known[name];
    if (Object.keys(known).length) job[section] = known;
  }

  // Items behind one that is taken out move up by one, and so do the names of their facts.
  function moveUp(job, list, index) {
    const known = job[form.dataset.knownBy] || {};
    for (const name of Object.keys(known)) {
      known[name] = known[name].map(function (path) {
        const rest = path.startsWith(list + ".") ? path.slice(list.length + 1).split(".") : ["0"];
        return Number(rest[0]) > index ? [list, Number(rest[0]) - 1].concat(rest.slice(1)).join(".") : path;
      });
    }
  }

  // Rows of readings that were skipped leave gaps, and items that only stood there to write in are no facts.
  function tidy(job) {
    for (const path of added.slice().reverse()) {
      const steps = path.split(".");
      const index = Number(steps.pop());
      const name = steps.pop();
      const around = steps.reduce(function (at, step) { return at && at[step]; }, job);
      const list = around && around[name];
      if (list && list[index] && Object.keys(list[index]).every(function (key) { return key === "key" || key === "serves"; })) {
        list.splice(index, 1);
        moveUp(job, steps.concat([name]).join("."), index);
        if (list.length === 0) delete around[name];
      }
    }
    for (const section of Object.values(job)) {
      if (section && typeof section === "object" && !Array.isArray(section)) {
        for (const name of Object.keys(section)) {
          if (Array.isArray(section[name])) section[name] = section[name].filter(Boolean);
        }
      }
    }
    return job;
  }

  function jobNow() {
    const job = JSON.parse(JSON.stringify(base));
    for (const field of fields) {
      const fact = factOf(field);
      if (fact === undefined) continue;
      put(job, field.dataset.path, fact);
      know(job, field.dataset.fact, field.dataset.known, fact);
    }
    return tidy(job);
  }

  function keep() {
    const draft = {};
    for (const field of fields) if (field.value !== field.defaultValue) draft[field.dataset.path] = field.value;
    try {
      localStorage.setItem(drafts, JSON.stringify(draft));
      said.textContent = "Draft kept on this device.";
    } catch (error) {
      said.textContent = "This device keeps no draft here: save the job file before you close the sheet.";
    }
  }

  function restore() {
    let draft = {};
    try {
      draft = JSON.parse(localStorage.getItem(drafts) || "{}");
    } catch (error) {
      return;
    }
    for (const field of fields) {
      if (typeof draft[field.dataset.path] === "string") field.value = draft[field.dataset.path];
    }
  }

  form.addEventListener("input", keep);
  form.addEventListener("submit", function (event) {
    event.preventDefault();
    const text = JSON.stringify(jobNow(), null, 2) + "\n";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = base.job_id.replace(/[^A-Za-z0-9._-]+/g, "-") + ".json";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
    said.textContent = "Saved as " + link.download + ". Check it: changeout check " + link.download;
  });
  document.getElementById("clear").addEventListener("click", function () {
    try {
      localStorage.removeItem(drafts);
    } catch (error) {
      // nothing is kept there
    }
    form.reset();
    said.textContent = "Draft cleared.";
  });
  restore();
})();
