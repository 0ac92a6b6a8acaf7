" `:make` judges the file in this window; `:cnext` goes from finding to finding.
if exists('current_compiler')
  finish
endif
let current_compiler = 'gudgeon'

let s:save_cpo = &cpo
set cpo&vim

CompilerSet makeprg=gudgeon\ inspect\ --as\ line\ %:S
" Each finding keeps its severity and its code in its text; dangers and faults are errors, doubts warnings, and what is open is for information.
" Last comes the count, and what could not be read at all.
CompilerSet errorformat=
      \%E%f:%l:%c:\ %\\%%(danger%\\\|fault%\\)%\\@=%m,
      \%W%f:%l:%c:\ %\\%%(doubt%\\)%\\@=%m,
      \%I%f:%l:%c:\ %\\%%(open%\\)%\\@=%m,
      \%-G%.%#

let &cpo = s:save_cpo
unlet s:save_cpo
