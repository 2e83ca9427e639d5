"""What becomes of endings on their way to webhooks, each step whole or not at all.

`scripts` puts an ending into the stream `outbox` in the very script that ends the bait. From there

    outbox --FAN_OUT--> a message a webhook --CLAIM--> being sent --SETTLE--> gone | due again later

A webhook is named `{caller}:{id}` here: one that is put after it was forgotten is another, and what is on its way to
the first changes nothing about the second. As long as there is a standing by its id there is the webhook. Its messages
stand in a hash, when each is due in a sorted set, and when the first of them is due in the sorted set of all webhooks.
One message a webhook is on its way at a time, so that a server that does not answer holds up nobody's but its own; the
lease says until when. Moments are seconds by the courier's clock.
"""

from __future__ import annotations

from worker.records.script_parts import EVEN_IF_FULL, NAMES

MOST_WAITING = 10_000
"""Messages that wait for one webhook. To one that takes nothing for so long, later ones are dropped and counted."""

# A store whose memory is full takes nothing new, but what it has taken goes on to its end.
_PRELUDE = (
    EVEN_IF_FULL
    + NAMES
    + """
local hooks = P .. 'hooks-due'
local function next_due(hook)
  local first = redis.call('ZRANGE', P .. 'deliveries:' .. hook, 0, 0, 'WITHSCORES')
  if first[1] then redis.call('ZADD', hooks, first[2], hook) else redis.call('ZREM', hooks, hook) end
end
local function forget(hook)
  redis.call('DEL', P .. 'deliveries:' .. hook, P .. 'messages:' .. hook)
  redis.call('ZREM', hooks, hook)
end
"""
)

# ARGV: the outbox entry, now, the caller, and then the webhook's id, the message's id and the message, as often as
# there are. Of two couriers one makes an entry's messages; for a webhook that was forgotten meanwhile there are none.
# Answers how many messages were dropped.
FAN_OUT = (
    _PRELUDE
    + """
if redis.call('XDEL', P .. 'outbox', ARGV[1]) == 0 then return 0 end
local dropped = 0
for at = 4, #ARGV, 3 do
  local hook = ARGV[3] .. ':' .. ARGV[at]
  if redis.call('HEXISTS', P .. 'hook-standing:' .. ARGV[3], ARGV[at]) == 1 then
    if redis.call('ZCARD', P .. 'deliveries:' .. hook) < MOST_WAITING then
      redis.call('HSET', P .. 'messages:' .. hook, ARGV[at + 1], ARGV[at + 2])
      redis.call('ZADD', P .. 'deliveries:' .. hook, ARGV[2], ARGV[at + 1])
      next_due(hook)
    else
      dropped = dropped + 1
      redis.call('HINCRBY', P .. 'tally', 'delivery:dropped', 1)
    end
  end
end
return dropped
"""
).replace("MOST_WAITING", str(MOST_WAITING))

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
# id, the standing that was read before the try and the one to be noted, and under which word the try is counted. "stop"
# forgets all that waits for this webhook. A webhook that was put anew meanwhile has another standing: it is not judged
# by this try, and of its messages this one alone is settled.
SETTLE = (
    _PRELUDE
    + """
local hook, id, standings = ARGV[1], ARGV[2], P .. 'hook-standing:' .. ARGV[6]
local deliveries, messages = P .. 'deliveries:' .. hook, P .. 'messages:' .. hook
redis.call('HDEL', P .. 'hook-leases', hook)
redis.call('HINCRBY', P .. 'tally', 'delivery:' .. ARGV[10], 1)
local unchanged = redis.call('HGET', standings, ARGV[7]) == ARGV[8]
if unchanged then redis.call('HSET', standings, ARGV[7], ARGV[9]) end
if ARGV[3] == 'stop' and unchanged then forget(hook)
elseif ARGV[3] ~= 'again' then redis.call('ZREM', deliveries, id); redis.call('HDEL', messages, id)
elseif redis.call('HEXISTS', messages, id) == 1 then
  redis.call('HSET', messages, id, ARGV[5])
  redis.call('ZADD', deliveries, ARGV[4], id)
end
next_due(hook)
return 1
"""
)

# ARGV: caller, name, what stands there ("" for nothing), what is to stand there ("" for nothing), the ids of both, and
# a new standing. What waits for a webhook goes with it; one that is put anew is no longer disabled. Also where the
# store's memory is full: to forget one must be possible then, and there are few of them. Answers whether it was done.
SWAP = (
    _PRELUDE
    + """
local caller, name, before, after = ARGV[1], ARGV[2], ARGV[5], ARGV[6]
local webhooks, standings = P .. 'webhooks:' .. caller, P .. 'hook-standing:' .. caller
if (redis.call('HGET', webhooks, name) or '') ~= ARGV[3] then return 0 end
if before ~= '' and before ~= after then
  forget(caller .. ':' .. before)
  redis.call('HDEL', P .. 'hook-leases', caller .. ':' .. before)
  redis.call('HDEL', standings, before)
end
if after == '' then redis.call('HDEL', webhooks, name)
else
  redis.call('HSET', webhooks, name, ARGV[4])
  redis.call('HSET', standings, after, ARGV[7])
end
return 1
"""
)
