" Rebuild logs. Each kind of line is one rule, named by its first word; what may stand on it is contained.
if exists('b:current_syntax')
  finish
endif
let s:save_cpo = &cpo
set cpo&vim
scriptencoding utf-8

runtime! syntax/gudgeon.vim

" Where a statement begins: behind the indent, and behind a time of day.
let s:start = '^\s*\%(\d\{1,2}:\d\d\s\+\)\='
let s:first = '\%(' . s:start . '\)\@<='

" The rule for lines that begin with one of some words: name of the rule, the words, what they contain.
function! s:Line(name, words, contains) abort
  execute 'syntax match ' . a:name . ' "' . s:start . '\%(' . a:words . '\)\%(\s.*\)\=$" contains=gudgeonClock,gudgeonKeyword,gudgeonWarning,gudgeonComment,' . a:contains
endfunction

syntax cluster gudgeonFigure contains=gudgeonNumber,gudgeonDate,gudgeonOperator
syntax cluster gudgeonDetail contains=@gudgeonFigure,gudgeonFact,gudgeonNumberOf,gudgeonReason,gudgeonDecision,gudgeonComment

" Clause words, and the words of facts.
syntax match gudgeonClause "\<\%(of\|at\|by\|on\|high\|as found\)\>\|@" contained
syntax match gudgeonFact "\<\%(go\|goes\|no-go\|nogo\|no\|not\|to\|x\|about\|by\|on\|at\|high\|with\|from\|over\|since\|for\|takes\|lasts\|risk\|less\)\>" contained
syntax match gudgeonFact "\<\%(reads to\|good to\|repeats to\|zero\|rated\|range\|due\|checked daily\)\>" contained
syntax match gudgeonFact "[×@]" contained
syntax match gudgeonNumberOf "\<\%(part number\|number\|no\.\|ordered as\)\s\+[^,;#]*" contained contains=gudgeonNumberWord
syntax match gudgeonNumberWord "\<\%(part number\|number\|no\.\|ordered as\)\>" contained
syntax match gudgeonReason "\<because\>.\{-}\ze\%(\s\+#.*\)\=$" contained contains=gudgeonBecause,@Spell
syntax match gudgeonBecause "\<because\>" contained
syntax match gudgeonDecision "\<\%(reuse\|watch\|repair\|machine\|replace\)\>\ze\s*\%([,;#]\|$\)" contained

" An indented line carries on the one above: more details, a row of its table, more of an option.
syntax match gudgeonMore "^\s\+\S.*$" contains=@gudgeonDetail,gudgeonDitto
syntax match gudgeonDitto "\%(^\|\s\)\@1<=\%(\"\|″\|-\|–\|—\)\ze\%(\s\|$\)" contained

" FEATURE [of PART] [at PLACE] = …
execute 'syntax match gudgeonReading "' . s:start . '[^[:blank:]=#][^=#]\{-}\s*=.*$" contains=gudgeonClock,gudgeonFeature,gudgeonByTool,@gudgeonDetail'
execute 'syntax match gudgeonFeature "' . s:first . '[^[:blank:]=#][^=#]\{-}\ze\s*=" contained contains=gudgeonOf,gudgeonAt'
syntax match gudgeonOf "\%(\<out\s\+\)\@<!\<of\>" contained nextgroup=gudgeonPart skipwhite
syntax match gudgeonAt "\<at\>\|@" contained nextgroup=gudgeonPlace skipwhite
syntax match gudgeonPart "[^[:blank:]=#,:][^=#,:]\{-}\ze\s*\%($\|[=#,:]\|\<at\s\|@\)" contained
syntax match gudgeonPlace "[^[:blank:]=#,:][^=#,:]\{-}\ze\s*\%($\|[=#,:]\|\<of\s\)" contained
syntax match gudgeonByTool "\<by\s\+[^,;#]\{-}\ze\s*\%($\|[,;#]\|\<\%(at\|on\|high\|because\)\>\)" contained contains=gudgeonBy
syntax match gudgeonBy "\<by\>" contained nextgroup=gudgeonTool skipwhite
syntax match gudgeonTool "[^[:blank:],;:#][^,;:#]\{-}\ze\s*\%($\|[,;:#]\|\<\%(at\|on\|high\|because\)\>\)" contained

" The head.
call s:Line('gudgeonHead', 'job\|machine\|owner\|by', 'gudgeonTitle')
call s:Line('gudgeonNamed', 'manual\|procedure', 'gudgeonName')
call s:Line('gudgeonHours', 'hours', '@gudgeonFigure')
call s:Line('gudgeonUnits', 'units', 'gudgeonUnit')
syntax match gudgeonTitle "\%(\<\%(job\|machine\|owner\|by\)\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained contains=@Spell
syntax match gudgeonName "\%(\<\%(manual\|procedure\|extends\)\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained

call s:Line('gudgeonToolLine', 'tool', 'gudgeonToolName,@gudgeonDetail')
syntax match gudgeonToolName "\%(\<\%(tool\|checked\)\s\+\)\@<=[^[:blank:],:#][^,:#]\{-}\ze\s*\%([:,#]\|$\)" contained

" What is done, found and got.
call s:Line('gudgeonDid', 'did\|undid', 'gudgeonStep,@gudgeonDetail')
syntax match gudgeonStep "\%(\<\%(did\|undid\)\s\+\)\@<=[^[:blank:],;#][^,;#]\{-}\ze\s*\%([,;#]\|$\)" contained
call s:Line('gudgeonParts', 'found\|ordered\|got\|waiting\|stock\|option\|cost', 'gudgeonPartName,@gudgeonDetail')
syntax match gudgeonPartName "\%(\<\%(found\|ordered\|got\|waiting\%(\s\+for\)\=\|stock\|option\|cost\)\s\+\)\@<=\%(for\s\)\@![^[:blank:],:#][^,:#]\{-}\ze\s*\%([:,#]\|$\)" contained
call s:Line('gudgeonChose', 'chose', 'gudgeonChoice,@gudgeonDetail')
syntax match gudgeonChoice "\%(\<\%(chose\|over\)\s\+\)\@<=[^[:blank:],:#][^,:#]\{-}\ze\s*\%([:,#]\|$\|\<over\s\|\<because\s\)" contained

call s:Line('gudgeonFix', 'fix', 'gudgeonFixName,@gudgeonDetail')
" The name ends at a comma, or at a figure that the arrow follows: `bore of cylinder 1 72.53 -> 72.03`.
let s:figure = '\%(no-\=go\s\+\|go\s\+\)\=[-+~]\=[0-9.,]*\d\s*\%([[:alpha:]°µ%][^[:blank:],]*\)\=\s*'
execute 'syntax match gudgeonFixName keepend "\%(\<fix\s\+\)\@<=[^[:blank:],=#][^,=#]\{-}\ze\s*\%([,=#]\|$\|' . s:figure . '\%(\%(±\|+-\|to\|[/,]\)\s*' . s:figure . '\)*\%(->\|→\|=>\)\|\<because\s\)" contained contains=gudgeonOf,gudgeonAt'
unlet s:figure
call s:Line('gudgeonHeld', 'held', '@gudgeonDetail,gudgeonClause')
call s:Line('gudgeonChecked', 'checked', 'gudgeonToolName,@gudgeonDetail')
call s:Line('gudgeonPhoto', 'photo', 'gudgeonPath')
syntax match gudgeonPath "\%(\<photo\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained
call s:Line('gudgeonClosed', 'closed', '@gudgeonFigure')

" A word of a line that has a figure behind a `=` and no colon is the name of a feature: `by = 3 mm`.
execute 'syntax match gudgeonReading "' . s:start . '\%(by\|manual\|procedure\|ordered\|got\|chose\|stock\|option\|cost\|waiting\|held\|checked\|closed\)\>[^:#=]*=[^:#]*\%(\s#.*\)\=$" contains=gudgeonClock,gudgeonFeature,gudgeonByTool,@gudgeonDetail'

" A note runs on over the lines that are indented deeper.
syntax region gudgeonNote start="^\z(\s*\)\%(\d\{1,2}:\d\d\s\+\)\=note\>" end="$\n\%(\z1\s\+\S\)\@!" contains=gudgeonClock,gudgeonKeyword,gudgeonComment,@Spell keepend

" A day, with its stage.
syntax match gudgeonDay "^\s*\d\{4}-\d\d-\d\d\>.*$" contains=gudgeonDate,gudgeonStage,gudgeonComment
syntax match gudgeonStage "\%(^\s*\d\{4}-\d\d-\d\d\s\+\)\@<=[^[:blank:],;#][^,;#]\{-}\ze\s*\%([,;#]\|$\)" contained

" First words and the time before them; last, so that they win over what begins at the same place.
execute 'syntax match gudgeonKeyword "' . s:first . '\%(job\|machine\|owner\|by\|hours\|manual\|procedure\|units\|tool\|did\|found\|ordered\|got\|chose\|stock\|option\|cost\|waiting\%(\s\+for\)\=\|fix\|held\|checked\|note\|photo\|closed\)\>" contained'
execute 'syntax match gudgeonWarning "' . s:first . 'undid\>" contained'
syntax match gudgeonClock "\%(^\s*\)\@<=\d\{1,2}:\d\d\ze\s" contained

syntax sync minlines=20

highlight default link gudgeonFact gudgeonClause
highlight default link gudgeonNumberWord gudgeonClause
highlight default link gudgeonOf gudgeonClause
highlight default link gudgeonAt gudgeonClause
highlight default link gudgeonBy gudgeonClause
highlight default link gudgeonBecause gudgeonClause
highlight default link gudgeonReason gudgeonProse
highlight default link gudgeonNote gudgeonProse
highlight default link gudgeonNumberOf gudgeonName
highlight default link gudgeonToolName gudgeonTool
highlight default link gudgeonPartName gudgeonPart
highlight default link gudgeonChoice gudgeonPart
highlight default link gudgeonFixName gudgeonFeature

delfunction s:Line
unlet s:start s:first
let b:current_syntax = 'rebuild'
let &cpo = s:save_cpo
unlet s:save_cpo
