-- The Vim folder beside this one holds what both editors share: ftdetect, ftplugin, syntax, compiler.
local M = {}

--- The Vim folder, or nil where only this folder was copied.
function M.folder()
  local here = debug.getinfo(1, 'S').source:sub(2)
  local folder = vim.fn.fnamemodify(here, ':p:h:h:h:h') .. '/vim'
  return vim.loop.fs_stat(folder .. '/syntax/rebuild.vim') and folder or nil
end

--- Puts it on the runtime path, once, and makes the names of files known.
function M.load()
  local folder = M.folder()
  if not folder then
    return
  end
  if not vim.tbl_contains(vim.opt.runtimepath:get(), folder) then
    vim.opt.runtimepath:append(folder)
  end
  vim.cmd('augroup filetypedetect')
  vim.cmd('source ' .. vim.fn.fnameescape(folder .. '/ftdetect/gudgeon.vim'))
  vim.cmd('augroup END')
end

return M
