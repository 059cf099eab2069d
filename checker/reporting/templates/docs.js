"use strict";
(function () {
  const box = document.getElementById("words");
  const told = document.getElementById("told");
  const rules = Array.from(document.querySelectorAll(".rules li"));
  const topics = Array.from(document.querySelectorAll("section.topic"));
  function look() {
    const wanted = box.value.toLowerCase().split(/\s+/).filter(Boolean);
    let found = 0;
    for (const rule of rules) {
      const fits = wanted.every((word) => rule.dataset.words.includes(word));
      rule.hidden = !fits;
      found += fits ? 1 : 0;
    }
    for (const topic of topics) {
      topic.hidden = !topic.querySelector("li:not([hidden])");
    }
    told.textContent = wanted.length ? found + " of " + rules.length + " rules" : "";
  }
  document.getElementById("search").hidden = false;
  box.addEventListener("input", look);
  look();
})();
