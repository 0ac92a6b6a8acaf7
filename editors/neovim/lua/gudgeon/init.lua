-- The language server of rebuild logs and workshop manuals, from Neovim 0.7 on.
local config = require('gudgeon.config')

local M = { options = vim.deepcopy(config.defaults) }

local function tell(text, level)
  vim.notify('gudgeon: ' .. text, level or vim.log.levels.INFO)
end

--- Clients of this server on a buffer.
function M.clients(buffer)
  local found
  if vim.lsp.get_clients then
    found = vim.lsp.get_clients { bufnr = buffer }
  else
    found = vim.tbl_values(vim.lsp.buf_get_clients(buffer))
  end
  return vim.tbl_filter(function(client)
    return client.name == 'gudgeon'
  end, found)
end

-- Neovim 0.7 has no `vim.lsp.start`: clients by their root are kept here.
local by_root = {}

local function start_plainly(client, root, buffer)
  local id = by_root[root]
  if not id or not vim.lsp.get_client_by_id(id) then
    local attached = client.on_attach
    client.root_dir = root
    client.workspace_folders = { { uri = vim.uri_from_fname(root), name = root } }
    client.on_attach = function(it, on)
      vim.api.nvim_buf_set_option(on, 'omnifunc', 'v:lua.vim.lsp.omnifunc')
      vim.api.nvim_buf_set_option(on, 'formatexpr', 'v:lua.vim.lsp.formatexpr()')
      if attached then
        attached(it, on)
      end
    end
    client.on_exit = function()
      by_root[root] = nil
    end
    id = vim.lsp.start_client(client)
    by_root[root] = id
  end
  if id then
    vim.lsp.buf_attach_client(buffer, id)
  end
end

--- Starts the server for a buffer, or attaches the one that runs for its repository.
function M.attach(buffer)
  buffer = buffer == 0 and vim.api.nvim_get_current_buf() or buffer
  local name = vim.api.nvim_buf_get_name(buffer)
  if name == '' or vim.api.nvim_buf_get_option(buffer, 'buftype') ~= '' then
    return
  end
  if vim.fn.executable(M.options.cmd[1]) == 0 then
    tell('there is no program `' .. M.options.cmd[1] .. '` on the path; `:checkhealth gudgeon` says more', vim.log.levels.WARN)
    return
  end
  local client = config.client(M.options)
  local root = config.root(name)
  if vim.lsp.start then
    client.root_dir = root
    vim.lsp.start(client, { bufnr = buffer })
  else
    start_plainly(client, root, buffer)
  end
end

--- Starts the server for every log and manual from now on, and for those that are open. All options may be left out: `cmd`, `settings`, `capabilities`, `on_attach`.
function M.setup(options)
  M.options = vim.tbl_deep_extend('force', vim.deepcopy(config.defaults), options or {})
  require('gudgeon.shared').load()
  if vim.lsp.config and vim.lsp.enable then
    vim.lsp.config('gudgeon', config.client(M.options))
    vim.lsp.enable('gudgeon')
    return
  end
  local group = vim.api.nvim_create_augroup('gudgeon', { clear = true })
  vim.api.nvim_create_autocmd('FileType', {
    group = group,
    pattern = config.filetypes,
    callback = function(said)
      M.attach(said.buf)
    end,
  })
  for _, buffer in ipairs(vim.api.nvim_list_bufs()) do
    if vim.api.nvim_buf_is_loaded(buffer) and vim.tbl_contains(config.filetypes, vim.api.nvim_buf_get_option(buffer, 'filetype')) then
      M.attach(buffer)
    end
  end
end

--- Neovim 0.11 takes only the first word of what is completed, unless it is told otherwise; names have several.
function M.complete(client, buffer)
  vim.lsp.completion.enable(true, client.id, buffer, {
    autotrigger = M.options.auto_complete,
    convert = function(item)
      local is_plain = item.insertTextFormat ~= vim.lsp.protocol.InsertTextFormat.Snippet
      local text = is_plain and item.textEdit and item.textEdit.newText
      return text and not text:find('\n', 1, true) and { word = text } or {}
    end,
  })
end

--- Has the server carry out a command about a buffer; `answered` gets what it returns.
local function execute(command, arguments, buffer, answered)
  local client = M.clients(buffer)[1]
  if not client then
    tell('no server is attached to this buffer; `:checkhealth gudgeon` says why', vim.log.levels.WARN)
    return
  end
  local function handle(failure, result)
    if failure then
      tell(failure.message or tostring(failure), vim.log.levels.ERROR)
    else
      answered(result)
    end
  end
  local params = { command = command, arguments = arguments }
  if vim.fn.has('nvim-0.11') == 1 then
    client:request('workspace/executeCommand', params, handle, buffer)
  else
    client.request('workspace/executeCommand', params, handle, buffer)
  end
end

--- Shows a text in a window of its own at the bottom, always the same one.
local function show(title, text)
  local buffer = vim.fn.bufnr(title)
  if buffer == -1 then
    buffer = vim.api.nvim_create_buf(false, true)
    vim.api.nvim_buf_set_name(buffer, title)
    vim.api.nvim_buf_set_option(buffer, 'bufhidden', 'wipe')
  end
  local lines = vim.split((text:gsub('%s+$', '')), '\n')
  vim.api.nvim_buf_set_option(buffer, 'modifiable', true)
  vim.api.nvim_buf_set_lines(buffer, 0, -1, false, lines)
  vim.api.nvim_buf_set_option(buffer, 'modifiable', false)
  if vim.fn.bufwinid(buffer) == -1 then
    vim.cmd('botright ' .. math.min(#lines + 1, math.floor(vim.o.lines / 2)) .. 'split')
    vim.api.nvim_win_set_buf(0, buffer)
    vim.wo.wrap = false
    vim.wo.number = false
    vim.cmd('wincmd p')
  end
end

--- What is to be done next in the log of this buffer, in a window at the bottom.
function M.next()
  local buffer = vim.api.nvim_get_current_buf()
  execute('gudgeon.next', { vim.uri_from_bufnr(buffer) }, buffer, function(text)
    show('gudgeon://next', type(text) == 'string' and text ~= '' and text or 'Nothing is left to do.')
  end)
end

--- Fills this buffer, an empty log, with the head, the steps and the readings of a manual.
function M.start(manual)
  local buffer = vim.api.nvim_get_current_buf()
  if not vim.api.nvim_buf_get_name(buffer):match('%.rebuild$') then
    tell('first give the new log a name: `:edit NAME.rebuild`', vim.log.levels.WARN)
    return
  end
  execute('gudgeon.start', { vim.uri_from_bufnr(buffer), manual }, buffer, function() end)
end

--- Names of manuals for the command line: those of the repository, then those of the shelf.
function M.manuals(lead)
  local names = {}
  local root = config.root(vim.api.nvim_buf_get_name(0))
  for _, file in ipairs(vim.fn.globpath(root, '**/*.manual', true, true)) do
    table.insert(names, vim.fn.fnamemodify(file, ':t:r'))
  end
  if vim.fn.executable(M.options.cmd[1]) == 1 then
    for _, line in ipairs(vim.fn.systemlist { M.options.cmd[1], 'shelf' }) do
      local name = line:match('^(%S.-)%s%s')
      if name then
        table.insert(names, name)
      end
    end
  end
  return vim.tbl_filter(function(name)
    return vim.startswith(name:lower(), lead:lower())
  end, names)
end

return M
