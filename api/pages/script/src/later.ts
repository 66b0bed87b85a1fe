// Calls that are held back where they come too often.

/** Runs at once, and then no more often than every wait ms; the last call is not lost. */
export function throttled(wait: number, run: () => void): { call(): void; flush(): void; cancel(): void } {
  let timer = 0;
  let again = false;
  const over = () => {
    timer = 0;
    if (again) start();
  };
  const start = () => {
    again = false;
    timer = setTimeout(over, wait);
    run();
  };
  return {
    call() {
      if (timer === 0) start();
      else again = true;
    },
    flush() {
      if (again) run();
      again = false;
    },
    cancel() {
      again = false;
    },
  };
}

/** Runs when there was no call for wait ms. */
export function delayed(wait: number, run: () => void): { call(): void; cancel(): void } {
  let timer = 0;
  return {
    call() {
      clearTimeout(timer);
      timer = setTimeout(run, wait);
    },
    cancel() {
      clearTimeout(timer);
    },
  };
}
