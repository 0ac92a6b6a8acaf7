" What logs and manuals have in common: comments, figures with their units, dates. Read by syntax/rebuild.vim and syntax/rebuild-manual.vim.
" Every rule works on one line, as the language does. Colours here are a first reading; a language server that knows the manual refines them.
scriptencoding utf-8

syntax case ignore
syntax iskeyword @,48-57,_,-,192-255

" A `#` begins a comment at the start of a line or behind a blank.
syntax match gudgeonComment "\%(^\|[ \t\u00a0]\)\@2<=#.*$" contains=@Spell

" A figure stands behind a blank or a sign, never inside a name (`rod kit A2`, `mic 50-75`).
syntax match gudgeonNumber "\%(^\|[[:blank:]\u00a0=(~≈±<>≤≥/×x–,;*-]\)\@3<=[-+−]\=\%(\d\+\%([.,]\d\+\)\=\|[.,]\d\+\)" contained nextgroup=gudgeonUnit skipwhite
syntax match gudgeonNumber "\%([[:blank:]=(]\)\@1<=\%(1:\d\+\|\d\+:1\)\>" contained
syntax match gudgeonDate "\<\d\{4}-\d\d-\d\d\>" contained

let s:simple = [
      \ 'mm', 'cm', 'km', 'm', '[µμu]m', 'hundredths\=', 'inch\%(es\)\=', 'in', 'thou', 'ft', 'miles\=', 'cc', 'ml', 'l',
      \ '\%(us\|imp\) gal', 'kg', 'mg', 'g', 'lb', 'ozf\=', 't', 'kn', 'n', 'lbf', 'kgf', 'tf',
      \ 'mbar', 'barg\=', 'bara', '[kmh]\=pa', 'psi[ag]\=', 'atm', 'torr', 'mmhg', 'inhg', 'mmh[₂2]o', 'inh[₂2]o',
      \ '°\s*[cfk]\=', 'deg\%( [cf]\)\=', '[cfk]', 'ppm', '1/k', "''\\=", '[′″"]', 'arcmin', 'rad', 'turns\=',
      \ 's', 'min', 'h', 'days\=', 'weeks\=', 'rpm', 'hz', 'mph', 'kw', 'w',
      \ 'eur', 'usd', 'gbp', 'pln', 'chf', 'sek', 'czk', 'jpy', 'nok', 'dkk', 'cad', 'aud', '[€$£]',
      \ '%', '‰', 'pcs', 'off', 'plain' ]
let s:unit = '\%(' . join(s:simple, '\|') . '\)[²³]\='
" `N·m`, `ft-lb`, `N/mm²`, `µm/m/K`, `bar abs`; where a letter follows it is a word and no unit.
execute 'syntax match gudgeonUnit "' . escape(s:unit . '\%([·⋅*/. -]' . s:unit . '\)*\%(\s\+\%(abs\%(olute\)\=\|gauge\)\)\=', '"')
      \ . '\%(\k\)\@!" contained'
unlet s:simple s:unit

syntax match gudgeonOperator "±\|+/-\|+-\|->\|→\|=>\|=\|[≤≥<>≈~]" contained

highlight default link gudgeonComment Comment
highlight default link gudgeonKeyword Statement
highlight default link gudgeonWarning Exception
highlight default link gudgeonClause Keyword
highlight default link gudgeonDay Title
highlight default link gudgeonDate Title
highlight default link gudgeonClock PreProc
highlight default link gudgeonTitle String
highlight default link gudgeonFeature Identifier
highlight default link gudgeonPlace Identifier
highlight default link gudgeonStep Function
highlight default link gudgeonPart Structure
highlight default link gudgeonTool Special
highlight default link gudgeonName Include
highlight default link gudgeonDecision Constant
highlight default link gudgeonNumber Number
highlight default link gudgeonUnit Type
highlight default link gudgeonOperator Operator
highlight default link gudgeonDitto Special
highlight default link gudgeonFunction Function
highlight default link gudgeonStage PreProc
highlight default link gudgeonProse String
highlight default link gudgeonPath Underlined
