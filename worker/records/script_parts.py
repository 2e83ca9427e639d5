"""What the scripts of `scripts` and `batch_scripts` have in common: a bait's record, its line, its end."""

from __future__ import annotations

from worker.records.names import PREFIX

# For how long the store keeps how a bait ended; a fault of the bait's own is answered the same meanwhile.
REPEAT_S = 600
MOST_TRIES = 3
MOST_POURED = 1000
"""Baits of a caller and a plastic that are found again by its name; the oldest are let go."""
MOST_UNTOLD = 100_000
"""Endings in the outbox; with no courier at work for so long, the oldest are let go and counted."""

NAMES = f"\nlocal P = '{PREFIX}'"
COMMON = (
    (
        NAMES
        + """
local caller = ARGV[1]
local id, name, rec, state, attempt, lane, unfinished, in_flight
local function look(which)
  id, name = which, caller .. ':' .. which
  rec = P .. 'bait:' .. name
  local found = redis.call('HMGET', rec, 'state', 'attempt', 'lane')
  state, attempt, lane = found[1], found[2], found[3]
  in_flight = state == 'handed' or state == 'running'
  unfinished = in_flight or state == 'waiting'
end
local function get(field) return redis.call('HGET', rec, field) end

local function wake()
  redis.call('LPUSH', P .. 'wake', '1')
  redis.call('LTRIM', P .. 'wake', 0, 0)
end
local function line() return P .. 'line:' .. lane .. ':' .. caller end
local function join_line(push)
  if redis.call(push, line(), id) == 1 then redis.call('RPUSH', P .. 'lane:' .. lane, caller) end
  wake()
end
local function leave_line()
  redis.call('LREM', line(), 1, id)
  if redis.call('EXISTS', line()) == 0 then redis.call('LREM', P .. 'lane:' .. lane, 1, caller) end
end
local function leave_flight()
  redis.call('SREM', P .. 'flight:' .. lane, name)
  if redis.call('EXISTS', P .. 'lane:single', P .. 'lane:batch', P .. 'lane:fit') > 0 then wake() end
end
local function waiting_in(which, whose)
  return redis.call('LLEN', P .. 'line:' .. which .. ':' .. whose)
end
local function all_waiting_in(which)
  local waiting = 0
  for _, other in ipairs(redis.call('LRANGE', P .. 'lane:' .. which, 0, -1)) do
    waiting = waiting + waiting_in(which, other)
  end
  return waiting
end
local function take(new_lane, request, created, trace, plastic)
  redis.call('DEL', rec, P .. 'ending:' .. name)
  lane = new_lane
  redis.call('HSET', rec, 'state', 'waiting', 'attempt', (tonumber(attempt) or 0) + 1, 'tries', 1, 'lane', lane,
             'request', request, 'created', created, 'trace', trace)
  join_line('RPUSH')
  if plastic ~= '' then
    local poured, now = P .. 'poured:' .. caller .. ':' .. plastic, redis.call('TIME')
    redis.call('ZADD', poured, now[1] .. string.format('.%06d', now[2]), id)
    redis.call('ZREMRANGEBYRANK', poured, 0, -1 - MOST_POURED)
  end
end
local function tell_batch(batch, outcome, finished)
  local open = P .. 'batch:' .. caller .. ':' .. batch
  if redis.call('EXISTS', open) == 0 or (redis.call('HGET', open, id) or '') ~= '' then return end
  redis.call('HSET', open, id, outcome)
  if redis.call('HINCRBY', open, 'left', -1) <= 0 then
    redis.call('HSET', open, 'finished', finished)
    redis.call('SADD', P .. 'closing', caller .. ':' .. batch)
    wake()
  end
end
local function finish(new_state, finished)
  redis.call('HSET', rec, 'state', new_state, 'finished', finished)
  redis.call('EXPIRE', rec, KEEP)
  redis.call('XADD', P .. 'ending:' .. name, '*', 'state', new_state)
  redis.call('EXPIRE', P .. 'ending:' .. name, KEEP)
  redis.call('HINCRBY', P .. 'tally', 'ended:' .. lane .. ':' .. new_state, 1)
  if redis.call('EXISTS', P .. 'webhooks:' .. caller) == 1 then
    if redis.call('XLEN', P .. 'outbox') >= MOST_UNTOLD then
      redis.call('HINCRBY', P .. 'tally', 'delivery:dropped', 1)
    end
    redis.call('XADD', P .. 'outbox', 'MAXLEN', MOST_UNTOLD, '*', 'caller', caller, 'bait', id, 'attempt', attempt,
               'state', new_state, 'finished', finished, 'problem', get('problem') or '', 'trace', get('trace') or '')
  end
  local outcome = new_state == 'failed' and 'failed ' .. (get('problem') or '{}') or new_state
  for _, wanting in ipairs(redis.call('SMEMBERS', P .. 'wants:' .. name)) do
    tell_batch(wanting, outcome, finished)
  end
  redis.call('DEL', P .. 'wants:' .. name)
end
local function dismiss(finished)
  redis.call('SREM', P .. 'delayed', name)
  leave_line()
  finish('dismissed', finished)
  leave_flight()
end
"""
    )
    .replace("KEEP", str(REPEAT_S))
    .replace("MOST_POURED", str(MOST_POURED))
    .replace("MOST_UNTOLD", str(MOST_UNTOLD))
)

# A store whose memory is full takes nothing new, but what it has taken goes on to its end.
UNLESS_FULL = "#!lua"
EVEN_IF_FULL = "#!lua flags=allow-oom"
LOOK = "look(ARGV[2])"
PRELUDE = EVEN_IF_FULL + COMMON + LOOK
