"""Every change of a record's state, as a script that the store runs whole or not at all.

Each names the bait and, where it continues an attempt, the attempt, and changes nothing where the record has
moved on.

    nothing --submit--> waiting --hand--> handed --start--> running --finish--> successful | failed
                           ^                 |                 |
                           +----give_back----+---- at a stop --+
                           +----due------ again (delayed) -----+       any unfinished --dismiss--> dismissed

Whoever submits a small fit does it on the spot: it is running from the start, under the same lease.

A waiting bait stands in the line of its lane and caller, except while it is delayed; a handed or running one
is in flight. Names as in `worker.records.names`.

`wants` of an unfinished bait has each batch that it is in, and `alone` where it was asked for by itself: its end is
told to those batches, and a batch that is dismissed ends it only where nobody else wants it. A bait of a batch that is
asked for alone goes over to the single lane.
"""

from __future__ import annotations

from worker.records.script_parts import COMMON, EVEN_IF_FULL, LOOK, MOST_TRIES, NAMES, PRELUDE, REPEAT_S, UNLESS_FULL

# ARGV: lane, request, created, most that may wait (0: any), whether a finished bait's files are gone, the plastic's
# own name or "", trace; and, where whoever submits it begins it too, when and the mark of that process, or "" twice.
# Answers {verdict, fields...}: "taken", "known" (unchanged), "finished" (see the manifest) or "full".
SUBMIT = (
    UNLESS_FULL
    + COMMON
    + LOOK
    + """
local most = tonumber(ARGV[6])
local function full() return most > 0 and all_waiting_in(ARGV[3]) >= most end
if unfinished then
  redis.call('SADD', P .. 'wants:' .. name, 'alone')
  if ARGV[3] == 'single' and lane ~= 'single' and state == 'waiting' and not full() then
    leave_line()
    lane = 'single'
    redis.call('HSET', rec, 'lane', lane)
    if redis.call('SISMEMBER', P .. 'delayed', name) == 0 then join_line('RPUSH') end
  end
  return {'known', redis.call('HGETALL', rec)}
end
if state == 'failed' and get('by_bait') == '1' then return {'known', redis.call('HGETALL', rec)} end
if state == 'successful' and ARGV[7] ~= '1' then return {'finished', {}} end
if ARGV[10] == '' and full() then return {'full', {}} end
take(ARGV[3], ARGV[4], ARGV[5], ARGV[9], ARGV[8])
redis.call('SADD', P .. 'wants:' .. name, 'alone')
if ARGV[10] ~= '' then
  leave_line()
  redis.call('HSET', rec, 'state', 'running', 'started', ARGV[10], 'beat', 0, 'by', ARGV[11])
  redis.call('SADD', P .. 'flight:' .. lane, name)
end
return {'taken', redis.call('HGETALL', rec)}
"""
)

# The next bait of each lane and how many of its baits are in flight: {caller, id, attempt, in flight} a lane.
SURVEY = (
    EVEN_IF_FULL
    + NAMES
    + """
local found = {}
local function head(lane)
  while true do
    local caller = redis.call('LINDEX', P .. 'lane:' .. lane, 0)
    if not caller then return '', '', '0' end
    local line = P .. 'line:' .. lane .. ':' .. caller
    local id = redis.call('LINDEX', line, 0)
    if not id then
      redis.call('LREM', P .. 'lane:' .. lane, 1, caller)
    else
      local record = redis.call('HMGET', P .. 'bait:' .. caller .. ':' .. id, 'state', 'attempt')
      if record[1] == 'waiting' then return caller, id, record[2] end
      redis.call('LREM', line, 1, id)
    end
  end
end
for _, lane in ipairs(ARGV) do
  local caller, id, attempt = head(lane)
  table.insert(found, {caller, id, attempt, redis.call('SCARD', P .. 'flight:' .. lane)})
end
return found
"""
)

# ARGV: attempt. The caller goes to the end of its lane's turn.
HAND = (
    PRELUDE
    + """
if state ~= 'waiting' or attempt ~= ARGV[3] then return 0 end
redis.call('HSET', rec, 'state', 'handed')
leave_line()
if redis.call('LREM', P .. 'lane:' .. lane, 1, caller) == 1 then
  redis.call('RPUSH', P .. 'lane:' .. lane, caller)
end
redis.call('SADD', P .. 'flight:' .. lane, name)
return 1
"""
)

# ARGV: attempt, started, the mark of the worker that keeps its lease. Answers the record's fields, or nothing.
START = (
    PRELUDE
    + """
if state ~= 'handed' or attempt ~= ARGV[3] then return {} end
redis.call('HSET', rec, 'state', 'running', 'started', ARGV[4], 'beat', 0, 'by', ARGV[5])
return redis.call('HGETALL', rec)
"""
)

# ARGV: attempt. A lease is a count that goes up: no clock of any host is trusted. Answers 0 where the attempt should
# be ended; one that has said how it ended may finish what it is about.
RENEW = (
    PRELUDE
    + """
if attempt ~= ARGV[3] or state == 'waiting' or state == 'dismissed' or not state then return 0 end
if state == 'running' then redis.call('HINCRBY', rec, 'beat', 1) end
return 1
"""
)

# ARGV: attempt, new state, finished, problem, whether the bait is at fault.
FINISH = (
    PRELUDE
    + """
if not in_flight or attempt ~= ARGV[3] then return 0 end
if ARGV[4] == 'failed' then redis.call('HSET', rec, 'problem', ARGV[6], 'by_bait', ARGV[7])
else redis.call('HDEL', rec, 'request') end
finish(ARGV[4], ARGV[5])
leave_flight()
return 1
"""
)

# ARGV: attempt, the beat that was last seen or "". Answers "again", "spent" (no try is left) or "moved on".
AGAIN = (
    PRELUDE
    + """
if not in_flight or attempt ~= ARGV[3] then return 'moved on' end
if ARGV[4] ~= '' and ARGV[4] ~= get('beat') then return 'moved on' end
if tonumber(get('tries')) >= MOST_TRIES then return 'spent' end
redis.call('HINCRBY', rec, 'attempt', 1)
redis.call('HINCRBY', rec, 'tries', 1)
redis.call('HSET', rec, 'state', 'waiting')
redis.call('SADD', P .. 'delayed', name)
leave_flight()
wake()
return 'again'
"""
).replace("MOST_TRIES", str(MOST_TRIES))

# A delayed bait's time has come: to the front of its line.
DUE = (
    PRELUDE
    + """
if redis.call('SREM', P .. 'delayed', name) == 0 or state ~= 'waiting' then return 0 end
join_line('LPUSH')
return 1
"""
)

# ARGV: attempt, the state that it must be in. Handed over and never begun, or running where it cannot come to its end
# because its worker is to stop: to the front of its line, without the loss of a try.
GIVE_BACK = (
    PRELUDE
    + """
if not in_flight or state ~= ARGV[4] or attempt ~= ARGV[3] then return 0 end
redis.call('HINCRBY', rec, 'attempt', 1)
redis.call('HSET', rec, 'state', 'waiting')
leave_flight()
join_line('LPUSH')
return 1
"""
)

# ARGV: lane. Something was in flight whose record says otherwise.
TIDY = (
    PRELUDE
    + """
if not in_flight then redis.call('SREM', P .. 'flight:' .. ARGV[3], name) end
"""
)

# ARGV: finished. Answers the state that it then has.
DISMISS = (
    PRELUDE
    + """
if not unfinished then return state end
dismiss(ARGV[3])
return 'dismissed'
"""
)

# Forget how it ended. The count of attempts stays a while, so that no belated attempt passes for a new one.
REMOVE = (
    PRELUDE
    + """
if unfinished then return 0 end
redis.call('DEL', rec, P .. 'ending:' .. name)
if attempt then
  redis.call('HSET', rec, 'attempt', attempt)
  redis.call('EXPIRE', rec, KEEP)
end
return 1
"""
).replace("KEEP", str(REPEAT_S))

# ARGV: caller, plastic, then ids, each with its place in the order. Those whose place is still this are let go.
FORGET_POURED = (
    EVEN_IF_FULL
    + NAMES
    + """
local poured = P .. 'poured:' .. ARGV[1] .. ':' .. ARGV[2]
for at = 3, #ARGV, 2 do
  local place = redis.call('ZSCORE', poured, ARGV[at])
  if place and tonumber(place) == tonumber(ARGV[at + 1]) then redis.call('ZREM', poured, ARGV[at]) end
end
"""
)
