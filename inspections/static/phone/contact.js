// Talking with the register: who is signed in, the token to post with, and whose clock is right.

import { addresses } from "./dom.js";
import * as store from "./store.js";

const PATIENCE = 45_000; // ms, a slow line with a full lot of events
const MAY_DIFFER = 5 * 60; // seconds; the register counts a clock beyond it as wrong

// Nothing can be said of what was sent: no answer, or one that is not the register's own.
export class NoAnswer extends Error {}

// The register itself says no: {status, code, sentence}.
export class SaysNo extends Error {
  constructor(status, { code, sentence }) {
    super(code);
    Object.assign(this, { status, code, sentence });
  }
}

// One request; what is not JSON, or a page to sign in on, is no answer.
export async function ask(address, options = {}) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), PATIENCE);
  try {
    const same = { credentials: "same-origin", cache: "no-store", redirect: "error" };
    return await fetch(address, { ...same, ...options, signal: stop.signal });
  } catch (error) {
    throw new NoAnswer(error.message);
  } finally {
    clearTimeout(timer);
  }
}

async function told(reply) {
  const isJson = reply.headers.get("content-type")?.includes("application/json");
  const said = isJson ? await reply.json().catch(() => null) : null;
  if (said === null) throw new NoAnswer(String(reply.status));
  if (!reply.ok) throw new SaysNo(reply.status, said);
  return said;
}

// {user, now, token, sites}; keeps who is signed in, the sites, and by how much the clock is off.
export async function greet() {
  const before = Date.now();
  const said = await told(await ask(addresses.events, { headers: { Accept: "application/json" } }));
  const middle = (before + Date.now()) / 2;
  await store.keepFact("user", said.user);
  await store.keepFact("sites", said.sites);
  await keepClock((Date.parse(said.now) - middle) / 1000);
  return said;
}

async function keepClock(seconds) {
  const differs = Math.abs(seconds) > MAY_DIFFER;
  await store.keepFact("clock", { offset_seconds: Math.round(seconds), differs });
  // the register vouches for a clock that agrees: what it showed before is forgotten
  if (!differs) await store.keepFact("latest_at", new Date().toISOString());
}

// Post with a token; a 403 that is not the register's JSON is a stale one: ask for another, once.
export async function post(address, body, headers = {}, token = null) {
  const fresh = token ?? (await greet()).token;
  const all = { ...headers, "X-CSRFToken": fresh, Accept: "application/json" };
  const reply = await ask(address, { method: "POST", body, headers: all });
  const isJson = reply.headers.get("content-type")?.includes("application/json");
  if (reply.status === 403 && !isJson && token) return post(address, body, headers);
  return told(reply);
}
