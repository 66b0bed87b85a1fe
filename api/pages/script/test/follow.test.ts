import assert from "node:assert/strict";
import { test } from "node:test";
import { languageOf } from "../src/follow.js";

test("a page says its language itself", () => {
  for (const [page, want] of [
    [`<!doctype html>\n<html lang="fr">`, "fr"], [`<html data-kept lang="es"><p lang="en">`, "es"], [`<html><p lang="en">`, undefined], [`<html class="x" hreflang="de">`, undefined], ["", undefined],
  ] as const) {
    assert.equal(languageOf(page), want, page);
  }
});
