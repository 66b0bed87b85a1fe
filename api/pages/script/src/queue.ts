// Entries on their way to the server: sent one after the other in the order in
// which they were made, each until the server has answered. An entry has a key by
// which the server knows it again, so one whose answer was lost is not made twice.

/** An entry of the log as a form would send it. */
export interface Entry {
  /** The address to send it to. */
  readonly to: string;
  /** The fields of the form, as application/x-www-form-urlencoded. */
  readonly body: string;
  /** What it is, for people. */
  readonly words: string;
}

/** What the server answered to an entry. */
export type Answer = { kind: "taken"; address: string; page: string } | { kind: "refused"; page: string } | { kind: "unreachable" };

/** How the queue stands; a change of it is told. */
export interface Standing {
  readonly entries: readonly Entry[];
  /** The server did not answer; it is tried again. */
  readonly unreachable: boolean;
  /** The first entry was refused, while others wait behind it. */
  readonly refused: boolean;
}

export interface Ways {
  send(entry: Entry): Promise<Answer>;
  /** Runs it after so many ms, or earlier when there is reason to. */
  later(ms: number, run: () => void): void;
  changed(standing: Standing): void;
  /** The last entry that waited was answered, with this page. */
  answered(answer: Exclude<Answer, { kind: "unreachable" }>): void;
  /** An entry was refused while others wait behind it. */
  stopped(page: string): void;
}

/** How long to wait before the first attempts that follow one in vain, in ms; the last one stays. */
const pauses = [1000, 2000, 4000, 8000];

export class Queue {
  readonly #entries: Entry[];
  #sending = false;
  #failures = 0;
  #refused = false;

  constructor(
    private readonly ways: Ways,
    /** Entries that waited when the page was left. */
    entries: readonly Entry[] = [],
  ) {
    this.#entries = [...entries];
  }

  get standing(): Standing {
    return { entries: [...this.#entries], unreachable: this.#failures > 0, refused: this.#refused };
  }

  add(entry: Entry): void {
    this.#entries.push(entry);
    this.#tell();
    void this.#send();
  }

  /** Tries at once, as when the network is back or the page was opened again. */
  again(): void {
    this.#refused = false;
    this.#tell();
    void this.#send();
  }

  /** Leaves the refused entry out and goes on with the next. */
  leaveOut(): void {
    if (!this.#refused) return;
    this.#entries.shift();
    this.again();
  }

  async #send(): Promise<void> {
    if (this.#sending) return;
    this.#sending = true;
    try {
      for (let first = this.#entries[0]; first && !this.#refused; first = this.#entries[0]) {
        const answer = await this.ways.send(first);
        if (!this.#took(answer)) return;
      }
    } finally {
      this.#sending = false;
    }
  }

  /** Takes an answer to the first entry; whether to go on with the next. */
  #took(answer: Answer): boolean {
    if (answer.kind === "unreachable") {
      const pause = pauses[Math.min(this.#failures, pauses.length - 1)] ?? 0;
      this.#failures++;
      this.#tell();
      this.ways.later(pause, () => void this.#send());
      return false;
    }
    this.#failures = 0;
    if (answer.kind === "refused" && this.#entries.length > 1) {
      this.#refused = true;
      this.#tell();
      this.ways.stopped(answer.page);
      return false;
    }
    this.#entries.shift();
    this.#tell();
    if (this.#entries.length === 0) this.ways.answered(answer);
    return true;
  }

  #tell(): void {
    this.ways.changed(this.standing);
  }
}
