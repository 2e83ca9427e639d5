"""What becomes of endings on their way to webhooks, each step whole or not at all.

`scripts` puts an ending into the stream `outbox` in the very script that ends the bait. From there

    outbox --FAN_OUT--> a message a webhook --CLAIM--> being sent --SETTLE--> gone | due again later

A webhook is named `{caller}:{name}`. Its messages stand in a hash, when each is due in a sorted set, and when the
first of them is due in the sorted set of all webhooks. One message a webhook is on its way at a time, so that a server
that does not answer holds up nobody's but its own; the lease says until when. Moments are seconds by the courier's
clock.
"""

from __future__ import annotations

# A store whose memory is full takes nothing new, but what it has taken goes on to its end.
_PRELUDE = """#!lua flags=allow-oom
local P = 'pourwright:'
local hooks = P .. 'hooks-due'
local function next_due(hook)
  local first = redis.call('ZRANGE', P .. 'deliveries:' .. hook, 0, 0, 'WITHSCORES')
  if first[1] then redis.call('ZADD', hooks, first[2], hook) else redis.call('ZREM', hooks, hook) end
end
"""

# ARGV: the outbox entry, now, and then webhook, message's id and message, as often as there are. Answers whether the
# entry was still there: of two couriers one makes its messages.
FAN_OUT = (
    _PRELUDE
    + """
if redis.call('XDEL', P .. 'outbox', ARGV[1]) == 0 then return 0 end
for at = 3, #ARGV, 3 do
  redis.call('HSET', P .. 'messages:' .. ARGV[at], ARGV[at + 1], ARGV[at + 2])
  redis.call('ZADD', P .. 'deliveries:' .. ARGV[at], ARGV[2], ARGV[at + 1])
  next_due(ARGV[at])
end
return 1
"""
)

# ARGV: now, until when the lease holds, how many webhooks to look at. Answers {webhook, message's id, message} or {}.
CLAIM = (
    _PRELUDE
    + """
local now = tonumber(ARGV[1])
for _, hook in ipairs(redis.call('ZRANGEBYSCORE', hooks, '-inf', now, 'LIMIT', 0, ARGV[3])) do
  local leased = tonumber(redis.call('HGET', P .. 'hook-leases', hook) or '0')
  if leased <= now then
    local first = redis.call('ZRANGE', P .. 'deliveries:' .. hook, 0, 0, 'WITHSCORES')
    local message = first[1] and redis.call('HGET', P .. 'messages:' .. hook, first[1])
    if message and tonumber(first[2]) <= now then
      redis.call('HSET', P .. 'hook-leases', hook, ARGV[2])
      return {hook, first[1], message}
    end
    if first[1] and not message then redis.call('ZREM', P .. 'deliveries:' .. hook, first[1]) end
    next_due(hook)
  end
end
return {}
"""
)

# ARGV: webhook, message's id, "done", "again" or "stop", when it is due again, the message, the caller, the webhook's
# name, its standing, and under which word the try is counted. "stop" forgets all that waits for this webhook.
SETTLE = (
    _PRELUDE
    + """
local hook, id = ARGV[1], ARGV[2]
local deliveries, messages = P .. 'deliveries:' .. hook, P .. 'messages:' .. hook
redis.call('HDEL', P .. 'hook-leases', hook)
redis.call('HINCRBY', P .. 'tally', 'delivery:' .. ARGV[9], 1)
if redis.call('HEXISTS', P .. 'webhooks:' .. ARGV[6], ARGV[7]) == 1 then
  redis.call('HSET', P .. 'hook-standing:' .. ARGV[6], ARGV[7], ARGV[8])
end
if ARGV[3] == 'stop' then redis.call('DEL', deliveries, messages)
elseif ARGV[3] == 'done' then redis.call('ZREM', deliveries, id); redis.call('HDEL', messages, id)
elseif redis.call('HEXISTS', messages, id) == 1 then
  redis.call('HSET', messages, id, ARGV[5])
  redis.call('ZADD', deliveries, ARGV[4], id)
end
next_due(hook)
return 1
"""
)

# ARGV: caller, name, what stands there ("" for nothing), what is to stand there ("" for nothing). What waits for a
# webhook goes with it; one that is put anew is no longer disabled. Answers whether it was done.
SWAP = """#!lua
local P, caller, name = 'pourwright:', ARGV[1], ARGV[2]
local there = redis.call('HGET', P .. 'webhooks:' .. caller, name) or ''
if there ~= ARGV[3] then return 0 end
redis.call('HDEL', P .. 'hook-standing:' .. caller, name)
if ARGV[4] ~= '' then
  redis.call('HSET', P .. 'webhooks:' .. caller, name, ARGV[4])
else
  local hook = caller .. ':' .. name
  redis.call('HDEL', P .. 'webhooks:' .. caller, name)
  redis.call('DEL', P .. 'deliveries:' .. hook, P .. 'messages:' .. hook)
  redis.call('ZREM', P .. 'hooks-due', hook)
end
return 1
"""
