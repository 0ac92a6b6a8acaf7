-- What editors/README.md says to write, and nothing else.
vim.opt.runtimepath:append(vim.env.ROOT .. '/editors/neovim')
require('gudgeon').setup {}
