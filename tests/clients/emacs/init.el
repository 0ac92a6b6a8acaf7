;; What editors/README.md says to write, and nothing else.  -*- lexical-binding: t; -*-
(add-to-list 'load-path (expand-file-name "editors/emacs" (getenv "ROOT")))
(require 'gudgeon-mode)
(add-hook 'gudgeon-base-mode-hook #'eglot-ensure)
