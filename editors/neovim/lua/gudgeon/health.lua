-- `:checkhealth gudgeon`
local M = {}

local health = vim.health or require('health')
local start = health.start or health.report_start
local ok = health.ok or health.report_ok
local warn = health.warn or health.report_warn
local fail = health.error or health.report_error
local info = health.info or health.report_info

function M.check()
  local gudgeon = require('gudgeon')
  start('gudgeon')

  if vim.fn.has('nvim-0.7') == 1 then
    ok('Neovim is new enough')
  else
    fail('Neovim 0.7 or newer is needed')
  end

  local program = gudgeon.options.cmd[1]
  if vim.fn.executable(program) == 0 then
    fail('there is no program `' .. program .. '` on the path', { 'cargo install --path . in the folder of Gudgeon', "or setup { cmd = { '/path/to/gudgeon', 'serve' } }" })
  else
    ok(vim.fn.exepath(program) .. ': ' .. (vim.fn.systemlist({ program, '--version' })[1] or 'does not say its version'))
    vim.fn.system { program, 'serve', '--help' }
    if vim.v.shell_error ~= 0 then
      fail('this `' .. program .. '` has no `serve`: it is older than its language server')
    end
  end

  local folder = require('gudgeon.shared').folder()
  if folder then
    ok('colours and file names come from ' .. folder)
  else
    warn('the folder `vim` is not beside this one: no colours, and files are not known by their names', { 'keep editors/vim beside editors/neovim' })
  end

  local running = vim.tbl_filter(function(client)
    return client.name == 'gudgeon'
  end, (vim.lsp.get_clients or vim.lsp.get_active_clients)())
  if #running == 0 then
    info('no server runs: open a log or a manual after setup')
  end
  for _, client in ipairs(running) do
    info('a server runs for ' .. (client.config.root_dir or 'no folder') .. ', positions in ' .. (client.offset_encoding or 'utf-16'))
  end
end

return M
