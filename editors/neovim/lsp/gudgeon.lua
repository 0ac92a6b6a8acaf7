-- Neovim 0.11 and later: `vim.lsp.enable('gudgeon')` finds this.
local config = require('gudgeon.config')

local client = config.client(config.defaults)
client.filetypes = config.filetypes
client.root_dir = function(buffer, found)
  found(config.root(vim.api.nvim_buf_get_name(buffer)))
end
return client
