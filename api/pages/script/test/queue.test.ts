import assert from "node:assert/strict";
import { test } from "node:test";
import { type Answer, type Entry, Queue, type Standing } from "../src/queue.js";

/** A server that is up or down, and counts an entry that has a key it knows as the same. */
class Server {
  up = true;
  loses = false;
  refuses = "";
  readonly log: string[] = [];
  readonly #keys = new Set<string>();

  async send(entry: Entry): Promise<Answer> {
    await Promise.resolve();
    if (!this.up) return { kind: "unreachable" };
    if (entry.words === this.refuses) return { kind: "refused", page: "no" };
    if (!this.#keys.has(entry.body)) this.log.push(entry.words);
    this.#keys.add(entry.body);
    if (this.loses) {
      this.loses = false;
      return { kind: "unreachable" };
    }
    return { kind: "taken", address: "/", page: entry.words };
  }
}

function bench(server: Server, entries: Entry[] = []) {
  const timers: [number, () => void][] = [];
  const told: Standing[] = [];
  const answered: Answer[] = [];
  const stopped: string[] = [];
  const queue = new Queue(
    {
      send: (entry) => server.send(entry),
      later: (ms, run) => timers.push([ms, run]),
      changed: (standing) => told.push(standing),
      answered: (answer) => answered.push(answer),
      stopped: (page) => stopped.push(page),
    },
    entries,
  );
  const add = (words: string) => queue.add({ to: "/pours", body: `key=${words}`, words });
  const settle = async () => {
    for (let i = 0; i < 100; i++) await Promise.resolve();
  };
  return { queue, add, settle, timers, told, answered, stopped };
}

const ten = Array.from({ length: 10 }, (_, i) => `pour ${i + 1}`);

test("ten pours with the server away in the middle arrive once and in order", async () => {
  const server = new Server();
  const { add, settle, timers, queue, answered } = bench(server);
  for (const words of ten.slice(0, 3)) add(words);
  await settle();
  server.up = false;
  for (const words of ten.slice(3)) add(words);
  await settle();
  assert.deepEqual(server.log, ten.slice(0, 3));
  assert.equal(queue.standing.entries.length, 7);
  assert.equal(queue.standing.unreachable, true);
  server.up = true;
  server.loses = true; // it takes the first that waits, and the answer is lost
  for (let at = 0; at < timers.length; at++) {
    timers[at]?.[1]();
    await settle();
  }
  assert.deepEqual(server.log, ten);
  assert.equal(queue.standing.entries.length, 0);
  assert.equal(queue.standing.unreachable, false);
  assert.deepEqual(answered.at(-1), { kind: "taken", address: "/", page: "pour 10" });
});

test("it waits longer after each attempt in vain, up to a bound", async () => {
  const server = new Server();
  server.up = false;
  const { add, settle, timers } = bench(server);
  add("pour");
  await settle();
  for (let at = 0; at < 5; at++) {
    timers[at]?.[1]();
    await settle();
  }
  assert.deepEqual(timers.map(([ms]) => ms), [1000, 2000, 4000, 8000, 8000, 8000]);
});

test("a refused entry alone is answered with its page; with others behind it all wait", async () => {
  const server = new Server();
  server.refuses = "bad";
  const { add, settle, answered, stopped, queue } = bench(server);
  add("bad");
  await settle();
  assert.deepEqual(answered, [{ kind: "refused", page: "no" }]);
  assert.equal(queue.standing.refused, false);
  add("bad");
  add("good");
  await settle();
  assert.deepEqual(stopped, ["no"]);
  assert.equal(queue.standing.refused, true);
  assert.deepEqual(server.log, []);
  add("better"); // waits behind the refused one too
  await settle();
  assert.deepEqual(server.log, []);
  queue.leaveOut();
  await settle();
  assert.deepEqual(server.log, ["good", "better"]);
});

test("what waited when the page was left is sent first", async () => {
  const server = new Server();
  const { queue, add, settle } = bench(server, [{ to: "/pours", body: "key=a", words: "before" }]);
  queue.again();
  add("after");
  await settle();
  assert.deepEqual(server.log, ["before", "after"]);
});
