-- Rebuild logs and workshop manuals in Neovim. The server is started by `require('gudgeon').setup {}`, or from Neovim 0.11 on by `vim.lsp.enable('gudgeon')`.
if vim.g.loaded_gudgeon then
  return
end
vim.g.loaded_gudgeon = true

-- Names of files, colours and `:make` are those of Vim: one source for both editors, in the folder beside this one.
require('gudgeon.shared').load()

vim.api.nvim_create_user_command('GudgeonNext', function()
  require('gudgeon').next()
end, { desc = 'Show what is to be done next in this rebuild log' })

vim.api.nvim_create_user_command('GudgeonStart', function(said)
  require('gudgeon').start(said.args)
end, {
  nargs = '+',
  desc = 'Fill this empty rebuild log with the steps and readings of a manual',
  complete = function(lead)
    return require('gudgeon').manuals(lead)
  end,
})

if vim.lsp.completion then
  vim.api.nvim_create_autocmd('LspAttach', {
    group = vim.api.nvim_create_augroup('gudgeon_completion', { clear = true }),
    callback = function(said)
      local client = vim.lsp.get_client_by_id(said.data.client_id)
      if client and client.name == 'gudgeon' then
        require('gudgeon').complete(client, said.buf)
      end
    end,
  })
end
