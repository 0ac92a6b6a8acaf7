" Workshop manuals. Each kind of line is one rule, named by its first word; what may stand on it is contained.
if exists('b:current_syntax')
  finish
endif
let s:save_cpo = &cpo
set cpo&vim
scriptencoding utf-8

runtime! syntax/gudgeon.vim

let s:first = '\%(^\s*\)\@<='
" Where a clause of a step begins: behind the step's name, or behind `;`.
let s:clause = '\<\%(directly after\|after\|then directly\|then\|not with\|once\|optional\|only if\|if\|disturbs\|reads\|until\|given\|needs\|renews\|takes out\|puts in\|uses\|lasts\|stages\|also\|expects\|pattern\|because\|before\)\>'

syntax cluster gudgeonFigure contains=gudgeonNumber,gudgeonDate,gudgeonOperator
syntax cluster gudgeonLimit contains=@gudgeonFigure,gudgeonBound,gudgeonSource,gudgeonCode,gudgeonComment

" Words of limits and clauses.
syntax match gudgeonBound "\<\%(up to\|at most\|not over\|max\|under\|within\|at least\|not under\|min\|from\|over\|to\|rating of\|rated\|the\)\>" contained
" A class of a standard: `25 k5`, `52 H7/p6`, `25 bearing C3`.
syntax match gudgeonCode "\%(\<[0-9.,]\+\s\+\%(mm\s\+\)\=\)\@<=\%(js\|[a-z]\)\d\{1,2}\%(\s*/\s*\%(\%(js\|[a-z]\)\d\{1,2}\|bearing\)\)\=\>" contained
syntax match gudgeonCode "\%(\<[0-9.,]\+\s\+\)\@<=bearing\%(\s\+\%(bore\|outside\|c[n0-9]\)\|\s*/\s*[a-z]\{1,2}\d\{1,2}\)\=\>" contained
syntax match gudgeonSource "\<source\s\+\S.\{-}\ze\%(\s\+#.*\)\=$" contained contains=gudgeonSourceWord,@Spell
syntax match gudgeonSourceWord "\<source\>" contained
syntax match gudgeonList "\<\%(also\|at\|or\)\>\|@\|\%(\<out\s\+\)\@<!\<of\>" contained

" A line without a word of its own is the limit of a stage, or the bound of an amount: the words before its figure name it.
syntax match gudgeonLimitLine "^\s\+\S.*$" contains=gudgeonStage,gudgeonClauseWord,@gudgeonLimit
execute 'syntax match gudgeonStage "' . s:first . '[^[:blank:]#0-9=;<>≤≥±+.-][^#0-9=;<>≤≥±]\{-}\ze\s\+\%(up to\|at most\|not over\|max\|under\|within\|at least\|not under\|min\|from\|over\|[-+.±<>≤≥]\=\s*\d\|the rating\|rating\)" contained'

function! s:Line(name, words, contains) abort
  execute 'syntax match ' . a:name . ' "^\s*\%(' . a:words . '\)\>.*$" contains=gudgeonKeyword,gudgeonWarning,gudgeonComment,' . a:contains
endfunction

call s:Line('gudgeonHead', 'source', 'gudgeonTitle')
call s:Line('gudgeonNamed', 'manual\|extends\|procedure', 'gudgeonName')
call s:Line('gudgeonUnits', 'units\|unit', 'gudgeonUnit')
call s:Line('gudgeonBecause', 'because', 'gudgeonProse')
syntax match gudgeonTitle "\%(^\s*source\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained contains=@Spell
syntax match gudgeonName "\%(\<\%(manual\|extends\|procedure\)\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained
syntax match gudgeonProse "\%(\<because\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained contains=@Spell

call s:Line('gudgeonHeading', 'feature\|precaution', 'gudgeonFeature')
syntax match gudgeonFeature "\%(^\s*\%(feature\|precaution\)\s\+\)\@<=\S.\{-}\ze\%(\s\+#.*\)\=$" contained contains=gudgeonList
call s:Line('gudgeonCalc', 'calc', 'gudgeonSum,gudgeonCalcName')
syntax match gudgeonCalcName "\%(^\s*calc\s\+\)\@<=[^[:blank:]=#][^=#]\{-}\ze\s*=" contained contains=gudgeonList
syntax match gudgeonSum "=.*$" contained contains=@gudgeonFigure,gudgeonFunction,gudgeonList,gudgeonArithmetic,gudgeonQuoted,gudgeonComment
syntax match gudgeonFunction "\<\a[[:alnum:]_ -]\{-}\ze\s*(" contained
syntax match gudgeonArithmetic "\s\@1<=[-+*/^×·÷−]\ze\s" contained
syntax region gudgeonQuoted start=+\%([(,]\s*\)\@<="+ end=+"+ contained oneline

call s:Line('gudgeonLimitOf', 'build\|service\|nominal\|aim\|alike\|material\|required\|say\|decide\|limits\|agrees\|ahead\|choose', 'gudgeonOther,@gudgeonLimit')
syntax match gudgeonOther "\<\%(limits of\|agrees with\|guarded\|plain\|from stock\|together\|or\)\>" contained

" Steps. The name ends at the first clause, a `;`, or a bound.
call s:Line('gudgeonSteps', 'step\|one of', 'gudgeonStep,gudgeonClauseWord,@gudgeonLimit')
execute 'syntax match gudgeonStep "\%(^\s*\%(step\|one of\)\s\+\)\@<=[^[:blank:];#][^;#]\{-}\ze\s*\%($\|[;#]\|' . s:clause . '\)" contained'
call s:Line('gudgeonNever', 'never', 'gudgeonForbidden,gudgeonClauseWord,gudgeonProse')
execute 'syntax match gudgeonForbidden "\%(^\s*never\s\+\)\@<=[^[:blank:];#][^;#]\{-}\ze\s*\%($\|[;#]\|' . s:clause . '\)" contained'
execute 'syntax match gudgeonClauseWord "' . s:clause . '" contained'
syntax match gudgeonClauseWord "\<\%(did\|not did\|found\|got\|in\|out\|read\)\>\ze\s*\%([;#]\|$\)" contained
syntax match gudgeonClauseWord "\%(\<if\s\+\)\@<=\%(not \)\=\%(did\|found\|got\)\>" contained
syntax match gudgeonClauseWord "\<\%(ring\|rows\=\) of\>" contained
syntax match gudgeonDecision "\<\%(reuse\|watch\|repair\|machine\|replace\)\>\ze\s*\%([;#]\|$\)" contained
call s:Line('gudgeonClauses', 'also\|after\|needs\|disturbs\|reads\|until\|optional\|once\|directly\|then\|not\|given\|if\|only\|takes\|puts\|renews\|uses\|expects\|pattern\|at least\|within\|at most', 'gudgeonClauseWord,gudgeonDecision,@gudgeonLimit')

" First words; last, so that they win over what begins at the same place.
execute 'syntax match gudgeonKeyword "' . s:first . '\%(manual\|source\|extends\|units\|feature\|calc\|precaution\|procedure\|step\|build\|service\|nominal\|unit\|say\|required\|decide\|material\|alike\|aim\|limits\|agrees\|ahead\|choose\|also\|because\|after\|needs\|disturbs\|reads\|until\|optional\|once\|directly\|then\|not\|given\|if\|only\|takes\|puts\|renews\|uses\|expects\|pattern\|one of\)\>" contained'
execute 'syntax match gudgeonWarning "' . s:first . 'never\>" contained'

syntax sync minlines=20

highlight default link gudgeonBound gudgeonClause
highlight default link gudgeonList gudgeonClause
highlight default link gudgeonOther gudgeonClause
highlight default link gudgeonClauseWord gudgeonClause
highlight default link gudgeonSource gudgeonProse
highlight default link gudgeonSourceWord gudgeonClause
highlight default link gudgeonCode gudgeonNumber
highlight default link gudgeonCalcName gudgeonFeature
highlight default link gudgeonArithmetic gudgeonOperator
highlight default link gudgeonQuoted gudgeonProse
highlight default link gudgeonForbidden gudgeonWarning

delfunction s:Line
unlet s:first s:clause
let b:current_syntax = 'rebuild-manual'
let &cpo = s:save_cpo
unlet s:save_cpo
