-- What the server is started with, in a form that every version of Neovim takes.
local M = {}

M.filetypes = { 'rebuild', 'rebuild-manual' }

M.defaults = {
  -- How the server is started.
  cmd = { 'gudgeon', 'serve' },
  -- What it is told; see `:help gudgeon-settings`. Anything that is left out is as the server has it by itself.
  settings = {},
  -- As of any language server; nil is Neovim's own.
  capabilities = nil,
  on_attach = nil,
  -- From Neovim 0.11 on: completion opens by itself behind the signs that the server names.
  auto_complete = false,
}

local function is_folder(path)
  local stat = vim.loop.fs_stat(path)
  return stat ~= nil and stat.type == 'directory'
end

--- The repository of a file: the nearest folder upwards with a `gudgeon.toml` or `.git`; else the nearest with a `manuals` folder; else the file's own.
function M.root(file)
  local own = vim.fn.fnamemodify(file, ':p:h')
  local beside_manuals
  local folder = own
  while true do
    if vim.loop.fs_stat(folder .. '/gudgeon.toml') or vim.loop.fs_stat(folder .. '/.git') then
      return folder
    end
    if not beside_manuals and is_folder(folder .. '/manuals') then
      beside_manuals = folder
    end
    local above = vim.fn.fnamemodify(folder, ':h')
    if above == folder then
      return beside_manuals or own
    end
    folder = above
  end
end

--- The configuration of the client, but for its root.
function M.client(options)
  return {
    name = 'gudgeon',
    cmd = options.cmd,
    settings = { gudgeon = next(options.settings) and options.settings or vim.empty_dict() },
    capabilities = options.capabilities,
    on_attach = options.on_attach,
    -- Neovim leaves only when the server has said goodbye, or after half a second.
    flags = { exit_timeout = 500 },
    -- Of the two kinds of file the name of the type is the language's own.
    get_language_id = function(_, filetype)
      return filetype
    end,
  }
end

return M
