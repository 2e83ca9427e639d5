"""Changes that concern a batch, as scripts that the store runs whole or not at all.

An open batch is a hash: for each of its baits that has ended its outcome (`successful`, `dismissed`, or `failed` and
the problem), `left`, how many have not, and in the end `finished`. When none is left it stands in the set `closing`,
until what is known of it has been written to its document and the hash is removed (`worker.records.batches`).
"""

from __future__ import annotations

from worker.records.script_parts import COMMON, EVEN_IF_FULL, PRELUDE, UNLESS_FULL

# ARGV: batch, how many baits it has, created, most that may wait in all, most of this caller's; then for each bait its
# id, its request, and what is known of its manifest: "here", "gone" (looked for in vain after the record said that it
# is there) or "". Answers {"full", waiting, waiting of this caller} with nothing changed, or {"taken", for each bait
# its state}; "finished": ask again, with its manifest looked for once more.
SUBMIT_BATCH = (
    UNLESS_FULL
    + COMMON
    + """
local batch, count, created, most, most_of_caller = ARGV[2], ARGV[3], ARGV[4], tonumber(ARGV[5]), tonumber(ARGV[6])
local function needed(manifest)
  if unfinished or manifest == 'here' then return false end
  if state == 'failed' and get('by_bait') == '1' then return false end
  return state ~= 'successful' or manifest == 'gone'
end
local new = 0
for at = 7, #ARGV, 3 do
  look(ARGV[at])
  if needed(ARGV[at + 2]) then new = new + 1 end
end
local waiting, of_caller = all_waiting_in('batch'), waiting_in('batch', caller)
if new > 0 and (waiting + new > most or of_caller + new > most_of_caller) then
  return {'full', waiting, of_caller}
end
local answer = {'taken'}
redis.call('HSETNX', P .. 'batch:' .. caller .. ':' .. batch, 'left', count)
for at = 7, #ARGV, 3 do
  look(ARGV[at])
  local manifest, told = ARGV[at + 2], state
  if needed(manifest) then
    take('batch', ARGV[at + 1], created, '')
    unfinished, told = true, 'waiting'
  end
  if manifest == 'here' then
    told = 'successful'
    tell_batch(batch, told, created)
  elseif unfinished then
    redis.call('SADD', P .. 'wants:' .. name, batch)
  elseif state == 'failed' then
    tell_batch(batch, 'failed ' .. (get('problem') or '{}'), created)
  elseif state == 'successful' then
    told = 'finished'
  end
  table.insert(answer, told)
end
return answer
"""
)

# No bait in ARGV. Answers how many wait, in all and of this caller.
WAITING = (
    EVEN_IF_FULL
    + COMMON
    + """
return {all_waiting_in('batch'), waiting_in('batch', caller)}
"""
)

# ARGV: batch, ids. Answers {left, finished, dismissed, then for each bait its outcome or state}; nothing where the
# batch is not open.
STATES = (
    EVEN_IF_FULL
    + """
local P, caller = 'pourwright:', ARGV[1]
local open = P .. 'batch:' .. caller .. ':' .. ARGV[2]
local left = redis.call('HGET', open, 'left')
if not left then return {} end
local answer = {left, redis.call('HGET', open, 'finished') or '', redis.call('HGET', open, 'dismissed') or ''}
for at = 3, #ARGV do
  table.insert(answer, redis.call('HGET', open, ARGV[at])
    or redis.call('HGET', P .. 'bait:' .. caller .. ':' .. ARGV[at], 'state') or '')
end
return answer
"""
)

# ARGV: batch, finished. From here on it takes no outcome but that it was dismissed. Answers 0 where it has ended.
DISMISS_BATCH = (
    EVEN_IF_FULL
    + """
local open = 'pourwright:batch:' .. ARGV[1] .. ':' .. ARGV[2]
if tonumber(redis.call('HGET', open, 'left') or '0') <= 0 then return 0 end
redis.call('HSETNX', open, 'dismissed', ARGV[3])
return 1
"""
)

# ARGV: id, batch, finished. The batch wants this bait no longer, which ends it where nobody else does.
RELEASE = (
    PRELUDE
    + """
local wants = P .. 'wants:' .. name
local wanted = redis.call('SREM', wants, ARGV[3]) == 1
tell_batch(ARGV[3], 'dismissed', ARGV[4])
if wanted and unfinished and redis.call('SCARD', wants) == 0 then
  redis.call('SREM', P .. 'delayed', name)
  leave_line()
  finish('dismissed', ARGV[4])
  leave_flight()
end
"""
)
