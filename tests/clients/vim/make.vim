" `:make` fills the list of places. Run in a copy of the workspace.
set encoding=utf-8
let s:said = []
let s:failed = 0
function! s:Check(name, wanted, got) abort
  let s:failed += a:wanted !=# a:got
  call add(s:said, a:wanted ==# a:got ? 'ok - ' . a:name : 'not ok - ' . a:name . ': wanted ' . string(a:wanted) . ', got ' . string(a:got))
endfunction

silent edit bench.rebuild
call setline(1, ['job ßé汉𐐀', 'manual tarn-250', '2026-03-14 build', 'end float at é汉𐐀 = 0.31 mm', 'side play = 0.9 mm?'])
silent write
silent make!
let s:list = filter(getqflist(), 'v:val.valid')
let s:out = filter(copy(s:list), 'v:val.text =~# "limit.out"')
call s:Check('a finding is in the list', 1, len(s:out) > 0)
if len(s:out)
  call s:Check('its line', 4, s:out[0].lnum)
  call s:Check('its file', 'bench.rebuild', bufname(s:out[0].bufnr))
  call s:Check('its weight', 'E', toupper(s:out[0].type))
  call s:Check('its text has severity and code', 1, s:out[0].text =~# '^fault\[limit.out\] ')
endif
call s:Check('nothing else is in the list', 0, len(filter(copy(s:list), 'v:val.text !~# "^\\%(danger\\|fault\\|doubt\\|open\\)\\["')))
call add(s:said, (len(s:said) - s:failed) . ' passed, ' . s:failed . ' failed')
call writefile(s:said, $SAID)
execute s:failed ? 'cquit!' : 'qall!'
