;; What editors/README.md says to write, and nothing else.  -*- lexical-binding: t; -*-
;; Compiling Emacs' own files in the background, in a home that is new each time, takes the processors from what is tested.
(setq native-comp-deferred-compilation nil)

(add-to-list 'load-path (expand-file-name "editors/emacs" (getenv "ROOT")))
(require 'gudgeon-mode)
(add-hook 'gudgeon-base-mode-hook #'eglot-ensure)
