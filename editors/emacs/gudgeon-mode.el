;;; gudgeon-mode.el --- Rebuild logs and workshop manuals  -*- lexical-binding: t; -*-

;; SPDX-License-Identifier: MIT OR Apache-2.0
;; Version: 0.1.0
;; Package-Requires: ((emacs "28.1"))
;; Keywords: languages, tools

;;; Commentary:

;; Major modes for rebuild logs (`*.rebuild') and workshop manuals
;; (`*.manual'), and what the language server `gudgeon serve' needs to
;; be started by Eglot:
;;
;;     (add-to-list 'load-path "/path/to/gudgeon/editors/emacs")
;;     (require 'gudgeon-mode)
;;     (add-hook 'gudgeon-base-mode-hook #'eglot-ensure)
;;
;; `gudgeon-next' shows what is to be done next, `gudgeon-start' fills
;; an empty log from a manual.  Days, or features and procedures, are
;; headings of `outline-minor-mode'.  `M-x compile' judges the file
;; without the server.

;;; Code:

(require 'subr-x)

(defvar eglot-server-programs)
(defvar compile-command)
(defvar outline-regexp)
(defvar outline-level)
(declare-function eglot-current-server "eglot")
(declare-function eglot-completion-at-point "eglot")
(declare-function eglot--TextDocumentIdentifier "eglot")
(declare-function jsonrpc-request "jsonrpc")
(declare-function project-root "project")

(defgroup gudgeon nil
  "Rebuild logs and workshop manuals."
  :group 'languages
  :prefix "gudgeon-")

(defcustom gudgeon-program "gudgeon"
  "The program that judges logs and serves editors."
  :type 'string)

;;; Colours.  A first reading: the server knows what the words mean.

(defconst gudgeon--figure
  (rx (or bol (any blank "=(~≈±<>≤≥/:×x–,;*" #xa0 "-"))
      (group (opt (any "+−-"))
             (or (seq (+ digit) (opt (any ".,:") (+ digit)))
                 (seq (any ".,") (+ digit))))
      (* blank)
      (opt (group
            (or (seq (any "°µμ%‰′″'€$£") (opt (* blank) (any "CF") word-end))
                (seq (or "mm" "cm" "km" "µm" "um" "hundredths" "in" "inch"
                         "thou" "ft" "mile" "cc" "ml" "US gal" "imp gal" "kg"
                         "mg" "lb" "oz" "kN" "lbf" "ozf" "kgf" "tf" "N·m"
                         "mbar" "barg" "bara" "bar" "kPa" "MPa" "Pa" "psi"
                         "psig" "psia" "atm" "torr" "mmHg" "inHg" "ppm" "deg"
                         "arcmin" "rad" "turn" "min" "days" "day" "weeks"
                         "week" "rpm" "Hz" "mph" "kW" "EUR" "USD" "GBP" "PLN"
                         "CHF" "SEK" "CZK" "JPY" "NOK" "DKK" "CAD" "AUD" "pcs"
                         "C" "F" "K" "L" "N" "W" "m" "g" "t" "s" "h")
                     (* (any "·⋅*/^.-" "²³") (* (any alpha "µ²³")))
                     (opt (+ blank) (or "abs" "gauge"))
                     word-end))))
      symbol-end)
  "A figure, and the unit behind it.")

(defconst gudgeon--date (rx symbol-start (= 4 digit) "-" (= 2 digit) "-" (= 2 digit) symbol-end)
  "A date.")

(defconst gudgeon--start
  "^[ \t]*\\(?:[0-9]\\{1,2\\}:[0-9]\\{2\\}[ \t]+\\)?"
  "Where the statement of a line begins: behind the indent and a time of day.")

(defconst gudgeon-log-words
  '("job" "machine" "owner" "by" "hours" "manual" "procedure" "units" "tool"
    "did" "undid" "found" "ordered" "got" "chose" "stock" "option" "cost"
    "waiting" "fix" "held" "checked" "note" "photo" "closed")
  "First words of the lines of a log.")

(defconst gudgeon-manual-words
  '("manual" "source" "extends" "units" "feature" "calc" "precaution"
    "procedure" "step" "never" "build" "service" "nominal" "unit" "say"
    "required" "decide" "material" "alike" "aim" "limits" "agrees" "ahead"
    "choose" "also" "because" "after" "needs" "disturbs" "reads" "until"
    "optional" "once" "directly" "then" "not" "given" "if" "only" "takes"
    "puts" "renews" "uses" "expects" "pattern" "one")
  "First words of the lines of a manual.")

(defun gudgeon--first (words)
  "A pattern for lines whose first word, in group 1, is one of WORDS."
  (concat gudgeon--start "\\(" (regexp-opt words) "\\)\\_>"))

(defconst gudgeon--log-font-lock
  `((,(concat "^[ \t]*\\([0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9]\\)\\_>[ \t,:]*\\([^#\n]*\\)")
     (1 font-lock-constant-face) (2 font-lock-preprocessor-face))
    ("^[ \t]*\\([0-9]\\{1,2\\}:[0-9]\\{2\\}\\)[ \t]" 1 font-lock-preprocessor-face)
    (,(concat gudgeon--start "\\(note\\)\\_>\\(.*\\)")
     (1 font-lock-keyword-face) (2 font-lock-string-face))
    (,(concat gudgeon--start "\\(photo\\)[ \t]+\\([^#\n]+?\\)[ \t]*$")
     (1 font-lock-keyword-face) (2 'link))
    (,(concat gudgeon--start "\\(job\\|machine\\|owner\\|by\\)[ \t]+\\([^ \t=\n][^=\n]*\\)$")
     (1 font-lock-keyword-face) (2 font-lock-string-face))
    (,(concat gudgeon--start "\\(manual\\|procedure\\)[ \t]+\\([^=\n]+?\\)[ \t]*$")
     (1 font-lock-keyword-face) (2 font-lock-constant-face))
    (,(concat gudgeon--start "\\(undid\\)[ \t]+\\([^,;\n]+\\)")
     (1 font-lock-warning-face) (2 font-lock-function-name-face))
    (,(concat gudgeon--start "\\(did\\)[ \t]+\\([^ \t=,;\n][^,;\n]*\\)")
     (1 font-lock-keyword-face) (2 font-lock-function-name-face))
    (,(concat gudgeon--start "\\(tool\\|checked\\)[ \t]+\\([^ \t=,:\n][^=,:\n]*\\)")
     (1 font-lock-keyword-face) (2 font-lock-builtin-face))
    (,(concat gudgeon--start "\\(found\\|ordered\\|got\\|waiting\\(?:[ \t]+for\\)?\\|stock\\|option\\|cost\\)[ \t]+\\([^ \t=,:\n][^=,:\n]*\\)\\(?:[,:]\\|$\\)")
     (1 font-lock-keyword-face) (2 font-lock-type-face))
    (,(concat gudgeon--start "\\(chose\\)[ \t]+\\([^=,\n]+?\\)\\(?:[ \t]+\\(over\\)[ \t]+\\([^,\n]+\\)\\)?\\(?:,\\|$\\)")
     (1 font-lock-keyword-face) (2 font-lock-type-face)
     (3 font-lock-keyword-face nil t) (4 font-lock-type-face nil t))
    (,(concat gudgeon--start "\\(fix\\)[ \t]+\\(.+?\\)[ \t]*\\(?:=\\|,\\|[ \t][-+.,]?[0-9][^ \t]*[ \t].*\\(?:->\\|→\\|=>\\)\\)")
     (1 font-lock-keyword-face) (2 font-lock-variable-name-face))
    (,(concat gudgeon--start "\\(hours\\|units\\|held\\|closed\\)\\_>[^=\n]*$")
     1 font-lock-keyword-face)
    ;; FEATURE [of PART] [at PLACE] = …
    (,(concat gudgeon--start "\\([^ \t\n=#][^=#\n]*?\\)[ \t]*=")
     (1 font-lock-variable-name-face))
    (,(concat gudgeon--start "[^=\n]*=.*?\\_<by[ \t]+\\([^,;\n]+?\\)[ \t]*\\(?:$\\|[,;]\\|\\_<\\(?:at\\|on\\|high\\|because\\)\\_>\\)")
     1 font-lock-builtin-face)
    (,(concat "[ \t]\\(" (regexp-opt '("reuse" "watch" "repair" "machine" "replace")) "\\)[ \t]*\\(?:[,;]\\|$\\)")
     1 font-lock-constant-face)
    ("\\_<because\\_>\\(.*\\)" 1 font-lock-string-face)
    (,(rx symbol-start
          (or "because" "of" "at" "by" "on" "high" "go" "goes" "no-go" "nogo"
              "from" "over" "since" "with" "reads to" "good to" "repeats to"
              "rated" "due" "part number" "number" "ordered as")
          symbol-end)
     . font-lock-keyword-face)
    (,gudgeon--date . font-lock-constant-face)
    (,gudgeon--figure (1 font-lock-constant-face) (2 font-lock-type-face nil t)))
  "Colours of a log.")

(defconst gudgeon--clause
  (rx symbol-start
      (or "directly after" "after" "then directly" "then" "not with" "once"
          "optional" "only if" "if" "disturbs" "reads" "until" "given" "needs"
          "renews" "takes out" "puts in" "uses" "lasts" "stages" "also"
          "expects" "pattern" "because" "before")
      symbol-end)
  "Where a clause of a step begins.")

(defconst gudgeon--manual-font-lock
  `((,(concat "^[ \t]*\\(never\\)[ \t]+\\(.+?\\)[ \t]*\\(?:$\\|;\\|" gudgeon--clause "\\)")
     (1 font-lock-warning-face) (2 font-lock-warning-face))
    (,(concat "^[ \t]*\\(step\\|one of\\)[ \t]+\\(.+?\\)[ \t]*\\(?:$\\|;\\|" gudgeon--clause "\\)")
     (1 font-lock-keyword-face) (2 font-lock-function-name-face))
    (,(concat "^[ \t]*\\(calc\\)[ \t]+\\([^=\n]+?\\)[ \t]*=")
     (1 font-lock-keyword-face) (2 font-lock-variable-name-face))
    ("^[ \t]*\\(feature\\|precaution\\)[ \t]+\\(.+?\\)[ \t]*\\(?:$\\|,\\|\\_<\\(?:at\\|of\\)\\_>\\)"
     (1 font-lock-keyword-face) (2 font-lock-variable-name-face))
    ("^[ \t]*\\(manual\\|extends\\|procedure\\)[ \t]+\\(.+\\)"
     (1 font-lock-keyword-face) (2 font-lock-constant-face))
    ("^[ \t]*\\(source\\|because\\)[ \t]+\\(.+\\)"
     (1 font-lock-keyword-face) (2 font-lock-string-face))
    (,(concat "^[ \t]*\\(" (regexp-opt gudgeon-manual-words) "\\)\\_>")
     1 font-lock-keyword-face)
    ("\\_<because[ \t]+\\(.*\\)" 1 font-lock-string-face)
    (",[ \t]*\\(source\\)[ \t]+\\(.*\\)" (1 font-lock-keyword-face) (2 font-lock-string-face))
    (,gudgeon--clause . font-lock-keyword-face)
    (,(rx symbol-start
          (or "up to" "at most" "not over" "max" "under" "within" "at least"
              "not under" "min" "from" "over" "to" "rating of" "of" "at" "or")
          symbol-end)
     . font-lock-keyword-face)
    ;; What has no word of its own is the limit of a stage, or the bound of an amount.
    ("^[ \t]+\\([[:alpha:]][^0-9#;=\n]*?\\)[ \t]+\\(?:up to\\|at most\\|max\\|within\\|at least\\|min\\|[-+.±<>≤≥]?[ \t]*[0-9]\\)"
     1 font-lock-preprocessor-face)
    ("\\_<\\([[:alpha:]][[:alnum:] _-]*?\\)[ \t]*(" 1 font-lock-function-name-face)
    (,gudgeon--date . font-lock-constant-face)
    (,gudgeon--figure (1 font-lock-constant-face) (2 font-lock-type-face nil t)))
  "Colours of a manual.")

;;; Syntax

(defvar gudgeon--syntax-table
  (let ((table (make-syntax-table)))
    ;; Inches, minutes and `as above': no strings.
    (modify-syntax-entry ?\" "." table)
    (modify-syntax-entry ?' "_" table)
    ;; Parts of words: run-out, r/o, 0.40.
    (dolist (char '(?- ?/ ?. ?_ ?& ?%))
      (modify-syntax-entry char "_" table))
    (modify-syntax-entry ?# "." table)
    (modify-syntax-entry ?\n ">" table)
    table)
  "Syntax of logs and manuals.")

(defconst gudgeon--propertize
  (syntax-propertize-rules
   ;; A `#' begins a comment at the start of a line or behind a blank.
   ("\\(?:^\\|[ \t\u00a0]\\)\\(#\\)" (1 "<")))
  "Which `#' begins a comment.")

;;; What comes next, and how to begin

(defun gudgeon--server ()
  "Return the server of this buffer, or fail and say how to start it."
  (or (and (fboundp 'eglot-current-server) (eglot-current-server))
      (user-error "No server manages this buffer: M-x eglot")))

(defun gudgeon--execute (command &rest arguments)
  "Have the server carry out COMMAND with this buffer's URI and ARGUMENTS."
  (jsonrpc-request
   (gudgeon--server) :workspace/executeCommand
   (list :command command
         :arguments (vconcat (list (plist-get (eglot--TextDocumentIdentifier) :uri))
                             arguments))))

;;;###autoload
(defun gudgeon-next ()
  "Show what is to be done next in the log of this buffer."
  (interactive)
  (let ((text (gudgeon--execute "gudgeon.next")))
    (with-current-buffer (get-buffer-create "*gudgeon next*")
      (let ((inhibit-read-only t))
        (erase-buffer)
        (insert (if (and (stringp text) (not (string-empty-p text)))
                    text
                  "Nothing is left to do.\n"))
        (goto-char (point-min)))
      (special-mode)
      (display-buffer (current-buffer)))))

(defun gudgeon--manuals ()
  "Return names of manuals: the project's by their files, then the shelf's."
  (append
   (let ((project (project-current)))
     (mapcar #'file-name-base
             (directory-files-recursively
              (if project (project-root project) default-directory)
              "\\.manual\\'")))
   (ignore-errors
     (delq nil
           (mapcar (lambda (line)
                     (and (string-match "^\\([^ ].*?\\)  " line)
                          (match-string 1 line)))
                   (process-lines gudgeon-program "shelf"))))))

;;;###autoload
(defun gudgeon-start (manual)
  "Fill this empty log from MANUAL: its head, what to do and what to read."
  (interactive (list (completing-read "Manual: " (gudgeon--manuals))))
  (unless (zerop (buffer-size))
    (user-error "This log is not empty; a new one is only written into an empty file"))
  ;; The program itself writes it: an edit that the server asks for would want to be confirmed.
  (let* ((errors (make-temp-file "gudgeon"))
         (ended (call-process gudgeon-program nil (list t errors) nil
                              "start" manual))
         (said (with-temp-buffer
                 (insert-file-contents errors)
                 (string-trim (buffer-string)))))
    (delete-file errors)
    (unless (eq ended 0)
      (erase-buffer)
      (user-error "%s" said))
    (goto-char (point-min))))

;;; Eglot

(defun gudgeon--project (folder)
  "Return the project of FOLDER, where version control names none.
It is the nearest folder upwards with a `gudgeon.toml', else the
nearest with a folder `manuals'."
  (let ((root (or (locate-dominating-file folder "gudgeon.toml")
                  (locate-dominating-file folder "manuals"))))
    (and root (cons 'transient (expand-file-name root)))))

(with-eval-after-load 'eglot
  ;; One server for both kinds of file.
  (add-to-list 'eglot-server-programs
               `(((gudgeon-mode :language-id "rebuild")
                  (gudgeon-manual-mode :language-id "rebuild-manual"))
                 . ,(lambda (&rest _) (list gudgeon-program "serve")))))

(put 'gudgeon-mode 'eglot-language-id "rebuild")
(put 'gudgeon-manual-mode 'eglot-language-id "rebuild-manual")

;;; Modes

(defvar gudgeon-base-mode-map
  (let ((map (make-sparse-keymap)))
    (define-key map (kbd "C-c C-n") #'gudgeon-next)
    map)
  "Keys of logs and manuals.")

(define-derived-mode gudgeon-base-mode prog-mode "Gudgeon"
  "What the modes for rebuild logs and for workshop manuals have in common."
  :syntax-table gudgeon--syntax-table
  (setq-local comment-start "# ")
  (setq-local comment-start-skip "#+[ \t]*")
  (setq-local comment-end "")
  (setq-local syntax-propertize-function gudgeon--propertize)
  (setq-local case-fold-search t)
  ;; What is indented belongs to the line above: only the writer knows that.
  (setq-local indent-line-function #'indent-relative)
  (setq-local electric-indent-inhibit t)
  (setq-local outline-level (lambda () 1))
  ;; A log and its manuals are one project, and have one server.
  (add-hook 'project-find-functions #'gudgeon--project 90 t)
  (when buffer-file-name
    (setq-local compile-command
                (concat gudgeon-program " inspect --as line "
                        (shell-quote-argument (file-name-nondirectory buffer-file-name))))))

;;;###autoload
(define-derived-mode gudgeon-mode gudgeon-base-mode "Rebuild"
  "Major mode for rebuild logs."
  (setq-local font-lock-defaults '(gudgeon--log-font-lock nil t))
  (setq-local outline-regexp "[ \t]*[0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9]")
  (setq-local imenu-generic-expression
              `(("Days" "^[ \t]*\\([0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9].*\\)" 1)
                ("Steps" ,(concat gudgeon--start "did[ \t]+\\([^,\n]+\\)") 1)
                ("Tools" "^tool[ \t]+\\([^:\n]+\\)" 1)))
  (setq-local imenu-case-fold-search t))

;;;###autoload
(define-derived-mode gudgeon-manual-mode gudgeon-base-mode "Manual"
  "Major mode for workshop manuals."
  (setq-local font-lock-defaults '(gudgeon--manual-font-lock nil t))
  (setq-local outline-regexp "\\(?:feature\\|calc\\|precaution\\|procedure\\)\\_>")
  (setq-local imenu-generic-expression
              '(("Features" "^[ \t]*\\(?:feature\\|calc\\)[ \t]+\\([^=\n]+\\)" 1)
                ("Precautions" "^[ \t]*precaution[ \t]+\\(.+\\)" 1)
                ("Procedures" "^[ \t]*procedure[ \t]+\\(.+\\)" 1)
                ("Steps" "^[ \t]*step[ \t]+\\([^;\n]+?\\)\\(?:  \\|;\\|$\\)" 1)))
  (setq-local imenu-case-fold-search t))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.rebuild\\'" . gudgeon-mode))
;;;###autoload
(add-to-list 'auto-mode-alist '("\\.manual\\'" . gudgeon-manual-mode))

(provide 'gudgeon-mode)

;;; gudgeon-mode.el ends here
