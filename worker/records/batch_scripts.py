"""Changes that concern a batch, as scripts that the store runs whole or not at all.

An open batch is a hash: for each of its baits its outcome (`successful`, `dismissed`, or `failed` and the problem),
empty until it has ended, `left`, how many have not, and in the end `finished`. When none is left it stands in the set
`closing`, until what is known of it has been written to its document and the hash is removed (`records.batches`).
"""

from __future__ import annotations

from worker.records.script_parts import COMMON, EVEN_IF_FULL, NAMES, PRELUDE, UNLESS_FULL

# ARGV: batch, how many baits it has, created, most that may wait in all, most of this caller's, trace, whether records
# are believed; then for each bait its id, its request, what is known of its manifest: "here", "gone" (looked for in
# vain after the record said that it is there) or "", and the plastic's own name or "".
# Answers {"full", waiting, waiting of this caller}, or {"look", ids of those whose manifest is to be looked for once
# more}, with nothing changed; or {"taken"}. Where records are believed nothing more is looked for.
SUBMIT_BATCH = (
    UNLESS_FULL
    + COMMON
    + """
local batch, created, most, most_of_caller = ARGV[2], ARGV[4], tonumber(ARGV[5]), tonumber(ARGV[6])
local function needed(manifest)
  if unfinished or manifest == 'here' then return false end
  if state == 'failed' and get('by_bait') == '1' then return false end
  return state ~= 'successful' or manifest == 'gone'
end
local new, unsure = 0, {'look'}
for at = 9, #ARGV, 4 do
  look(ARGV[at])
  if needed(ARGV[at + 2]) then new = new + 1 end
  if state == 'successful' and ARGV[at + 2] == '' and ARGV[8] ~= '1' then table.insert(unsure, id) end
end
if #unsure > 1 then return unsure end
local waiting, of_caller = all_waiting_in('batch'), waiting_in('batch', caller)
if new > 0 and (waiting + new > most or of_caller + new > most_of_caller) then
  return {'full', waiting, of_caller}
end
local open = P .. 'batch:' .. caller .. ':' .. batch
redis.call('HSETNX', open, 'left', ARGV[3])
redis.call('SADD', P .. 'batches:' .. caller, batch)
for at = 9, #ARGV, 4 do redis.call('HSETNX', open, ARGV[at], '') end
for at = 9, #ARGV, 4 do
  look(ARGV[at])
  local manifest = ARGV[at + 2]
  if needed(manifest) then
    take('batch', ARGV[at + 1], created, ARGV[7], ARGV[at + 3])
    unfinished = true
  end
  if manifest == 'here' or not unfinished and state == 'successful' then
    tell_batch(batch, 'successful', created)
  elseif unfinished then
    redis.call('SADD', P .. 'wants:' .. name, batch)
  else
    tell_batch(batch, 'failed ' .. (get('problem') or '{}'), created)
  end
end
return {'taken'}
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

# ARGV: batch, ids in one text, parted by blanks. Answers {finished, dismissed, then in one text each bait's outcome or
# state, a line each}; nothing where the batch is not open. A thousand of either by itself cost the client four times
# what all of them do together.
STATES = (
    EVEN_IF_FULL
    + NAMES
    + """
local caller = ARGV[1]
local open = P .. 'batch:' .. caller .. ':' .. ARGV[2]
local left, finished, dismissed = unpack(redis.call('HMGET', open, 'left', 'finished', 'dismissed'))
if not left then return {} end
local states = {}
for id in string.gmatch(ARGV[3], '%S+') do
  local told = redis.call('HGET', open, id)
  if not told or told == '' then told = redis.call('HGET', P .. 'bait:' .. caller .. ':' .. id, 'state') or '' end
  table.insert(states, told)
end
return {finished or '', dismissed or '', table.concat(states, '\\n')}
"""
)

# ARGV: caller, up to 100 ids. Answers for each whether a batch that is open has it.
HELD = (
    EVEN_IF_FULL
    + NAMES
    + """
local caller, ids, held = ARGV[1], {}, {}
for at = 2, #ARGV do ids[at - 1], held[at - 1] = ARGV[at], 0 end
for _, batch in ipairs(redis.call('SMEMBERS', P .. 'batches:' .. caller)) do
  local open = P .. 'batch:' .. caller .. ':' .. batch
  if redis.call('EXISTS', open) == 0 then redis.call('SREM', P .. 'batches:' .. caller, batch) end
  for at, told in ipairs(redis.call('HMGET', open, unpack(ids))) do
    if told then held[at] = 1 end
  end
end
return held
"""
)

# ARGV: batch, finished. From here on it takes no outcome but that it was dismissed. Answers 0 where it has ended.
DISMISS_BATCH = (
    EVEN_IF_FULL
    + NAMES
    + """
local open = P .. 'batch:' .. ARGV[1] .. ':' .. ARGV[2]
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
if wanted and unfinished and redis.call('SCARD', wants) == 0 then dismiss(ARGV[4]) end
"""
)
