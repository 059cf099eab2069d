/** Waiting for a finger: what changes the layout waits until it is up, so that no tap lands beside what it was meant for. */

let down = false;
/** @type {(() => void)[]} */
let waiting = [];

/** Begin to look at fingers. */
export function watchFingers() {
  document.addEventListener("pointerdown", () => (down = true), true);
  for (const over of ["pointerup", "pointercancel"]) {
    document.addEventListener(over, () => setTimeout(lifted, 0), true);
  }
}

function lifted() {
  down = false;
  const due = waiting;
  waiting = [];
  for (const work of due) work();
}

/** Do some work once no finger is down. @param {() => void} work */
export function whenLifted(work) {
  if (down) waiting.push(work);
  else work();
}
