" Workshop manuals are edited as logs are.
runtime! ftplugin/rebuild.vim
