" Rebuild logs and workshop manuals.
autocmd BufNewFile,BufRead *.rebuild setfiletype rebuild
autocmd BufNewFile,BufRead *.manual setfiletype rebuild-manual
