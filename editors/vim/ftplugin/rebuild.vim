" Rebuild logs: what holds while one is edited. Manuals use it too.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal comments=:# commentstring=#\ %s
" A log is a list of lines: a long one is never broken by the editor.
setlocal formatoptions-=t formatoptions+=croql
" `run-out` is one word, in motions, in search and in completion.
setlocal iskeyword+=-
" `gf` on the name of a manual opens it.
setlocal suffixesadd=.manual path+=manuals,../manuals

let b:undo_ftplugin = 'setlocal comments< commentstring< formatoptions< iskeyword< suffixesadd< path<'

if !exists('g:gudgeon_no_compiler') && !exists('current_compiler')
  compiler gudgeon
  let b:undo_ftplugin .= ' makeprg< errorformat<'
endif
