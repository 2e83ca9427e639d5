"""Every change of a record's state, as a script that the store runs whole or not at all.

Each names the bait and, where it continues an attempt, the attempt, and changes nothing where the record has
moved on.

    nothing --submit--> waiting --hand--> handed --start--> running --finish--> successful | failed
                           ^                 |                 |
                           +----give_back----+                 |
                           +----due------ again (delayed) -----+       any unfinished --dismiss--> dismissed

A waiting bait stands in the line of its lane and caller, except while it is delayed; a handed or running one
is in flight. Names as in `worker.records.names`.
"""

from __future__ import annotations

# For how long the store keeps how a bait ended; a fault of the bait's own is answered the same meanwhile.
REPEAT_S = 600
MOST_TRIES = 3

_COMMON = (
    """
local P, caller, id = 'pourwright:', ARGV[1], ARGV[2]
local name = caller .. ':' .. id
local rec = P .. 'bait:' .. name
local function get(field) return redis.call('HGET', rec, field) end
local state, attempt, lane = get('state'), get('attempt'), get('lane')
local unfinished = state == 'waiting' or state == 'handed' or state == 'running'
local in_flight = state == 'handed' or state == 'running'

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
local function finish(new_state, finished)
  redis.call('HSET', rec, 'state', new_state, 'finished', finished)
  redis.call('EXPIRE', rec, KEEP)
  redis.call('XADD', P .. 'ending:' .. name, '*', 'state', new_state)
  redis.call('EXPIRE', P .. 'ending:' .. name, KEEP)
  redis.call('HINCRBY', P .. 'tally', 'ended:' .. lane .. ':' .. new_state, 1)
  if redis.call('EXISTS', P .. 'webhooks:' .. caller) == 1 then
    redis.call('XADD', P .. 'outbox', '*', 'caller', caller, 'bait', id, 'attempt', attempt, 'state', new_state,
               'finished', finished, 'problem', get('problem') or '', 'trace', get('trace') or '')
  end
end
"""
).replace("KEEP", str(REPEAT_S))

# A store whose memory is full takes nothing new, but what it has taken goes on to its end.
_UNLESS_FULL = "#!lua"
_EVEN_IF_FULL = "#!lua flags=allow-oom"
_PRELUDE = _EVEN_IF_FULL + _COMMON

# ARGV: lane, request, created, most that may wait (0: any), whether a finished bait's files are gone, trace.
# Answers {verdict, fields...}: "taken", "known" (unchanged), "finished" (see the manifest) or "full".
SUBMIT = (
    _UNLESS_FULL
    + _COMMON
    + """
if unfinished or (state == 'failed' and get('by_bait') == '1') then
  return {'known', redis.call('HGETALL', rec)}
end
if state == 'successful' and ARGV[7] ~= '1' then return {'finished', {}} end
lane = ARGV[3]
local most = tonumber(ARGV[6])
if most > 0 then
  local waiting = 0
  for _, other in ipairs(redis.call('LRANGE', P .. 'lane:' .. lane, 0, -1)) do
    waiting = waiting + redis.call('LLEN', P .. 'line:' .. lane .. ':' .. other)
  end
  if waiting >= most then return {'full', {}} end
end
redis.call('DEL', rec, P .. 'ending:' .. name)
redis.call('HSET', rec, 'state', 'waiting', 'attempt', (tonumber(attempt) or 0) + 1, 'tries', 1, 'lane', lane,
           'request', ARGV[4], 'created', ARGV[5], 'trace', ARGV[8])
join_line('RPUSH')
return {'taken', redis.call('HGETALL', rec)}
"""
)

# The next bait of each lane and how many of its baits are in flight: {caller, id, attempt, in flight} a lane.
SURVEY = (
    _EVEN_IF_FULL
    + """
local P, found = 'pourwright:', {}
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
    _PRELUDE
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

# ARGV: attempt, started. Answers the record's fields, or nothing.
START = (
    _PRELUDE
    + """
if state ~= 'handed' or attempt ~= ARGV[3] then return {} end
redis.call('HSET', rec, 'state', 'running', 'started', ARGV[4], 'beat', 0)
return redis.call('HGETALL', rec)
"""
)

# ARGV: attempt. A lease is a count that goes up: no clock of any host is trusted. Answers 0 where the attempt should
# be ended; one that has said how it ended may finish what it is about.
RENEW = (
    _PRELUDE
    + """
if attempt ~= ARGV[3] or state == 'waiting' or state == 'dismissed' or not state then return 0 end
if state == 'running' then redis.call('HINCRBY', rec, 'beat', 1) end
return 1
"""
)

# ARGV: attempt, new state, finished, problem, whether the bait is at fault.
FINISH = (
    _PRELUDE
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
    _PRELUDE
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
    _PRELUDE
    + """
if redis.call('SREM', P .. 'delayed', name) == 0 or state ~= 'waiting' then return 0 end
join_line('LPUSH')
return 1
"""
)

# ARGV: attempt. Handed over and never begun: to the front of its line, without the loss of a try.
GIVE_BACK = (
    _PRELUDE
    + """
if state ~= 'handed' or attempt ~= ARGV[3] then return 0 end
redis.call('HINCRBY', rec, 'attempt', 1)
redis.call('HSET', rec, 'state', 'waiting')
leave_flight()
join_line('LPUSH')
return 1
"""
)

# ARGV: lane. Something was in flight whose record says otherwise.
TIDY = (
    _PRELUDE
    + """
if not in_flight then redis.call('SREM', P .. 'flight:' .. ARGV[3], name) end
"""
)

# ARGV: finished. Answers the state that it then has.
DISMISS = (
    _PRELUDE
    + """
if not unfinished then return state end
redis.call('SREM', P .. 'delayed', name)
leave_line()
finish('dismissed', ARGV[3])
leave_flight()
return 'dismissed'
"""
)

# Forget how it ended. The count of attempts stays a while, so that no belated attempt passes for a new one.
REMOVE = (
    _PRELUDE
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
