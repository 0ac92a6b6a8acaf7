;;; drive.el --- A day at the bench in a real Emacs  -*- lexical-binding: t; -*-

;; Run in a terminal of its own (see run.sh), so that idle timers, keys and the minibuffer are the real ones.

(require 'eglot)
(require 'flymake)

(defvar drive-said nil)
(defvar drive-failed 0)

(defun drive-write ()
  "Write down what was said so far."
  (let ((coding-system-for-write 'utf-8))
    (write-region (concat (string-join (reverse drive-said) "\n") "\n") nil (getenv "SAID") nil 'quiet)))

(defun drive-check (name good &optional got)
  "Say under NAME whether it was GOOD, else what was GOT.  Return GOOD."
  (if good
      (push (concat "ok - " name) drive-said)
    (setq drive-failed (1+ drive-failed))
    (push (format "not ok - %s: got %s" name (replace-regexp-in-string "\n" "\\\\n" (format "%S" got))) drive-said))
  (drive-write)
  good)

(defun drive-idle (seconds)
  "Let Emacs wait SECONDS for keys that do not come, so that idle timers run."
  (run-with-timer seconds nil (lambda () (when (> (recursion-depth) 0) (exit-recursive-edit))))
  (recursive-edit))

(defmacro drive-eventually (name seconds got &rest holds)
  "Wait at most SECONDS until HOLDS, a form that may speak of `it', the value of GOT; check it under NAME."
  (declare (indent 2))
  `(let ((until (+ (float-time) ,seconds)) it good)
     (while (progn (setq it ,got good (progn ,@holds))
                   (and (not good) (< (float-time) until)))
       (drive-idle 0.1))
     (drive-check ,name good it)
     it))

(defun drive-keys (keys)
  "Type KEYS, as `kbd' has them."
  (execute-kbd-macro (kbd keys)))

(defun drive-type (text)
  "Type TEXT."
  (execute-kbd-macro (vconcat text)))

(defun drive-findings (buffer &optional code)
  "Findings of BUFFER as `LINE CODE WEIGHT TEXT-UNDER-IT', of one CODE or all."
  (with-current-buffer buffer
    (delq nil
          (mapcar (lambda (it)
                    (let* ((lsp (alist-get 'eglot-lsp-diag (flymake-diagnostic-data it)))
                           (said (plist-get lsp :code)))
                      (and (or (null code) (equal code said))
                           (format "%d %s %s %s" (line-number-at-pos (flymake-diagnostic-beg it)) said
                                   (flymake-diagnostic-type it)
                                   (buffer-substring-no-properties
                                    (flymake-diagnostic-beg it) (flymake-diagnostic-end it))))))
                  (flymake-diagnostics)))))

(defun drive-line (number)
  "Line NUMBER of this buffer, with single blanks."
  (save-excursion
    (goto-char (point-min))
    (forward-line (1- number))
    (replace-regexp-in-string " +" " " (buffer-substring-no-properties (point) (line-end-position)))))

(defun drive-go (number &optional text)
  "Go to line NUMBER, and there to the first letter of TEXT."
  (goto-char (point-min))
  (forward-line (1- number))
  (when (and text (search-forward text (line-end-position) t))
    (goto-char (match-beginning 0))))

(defun drive-mend ()
  "Take the repair that is offered here; of several the one that writes a line."
  (interactive)
  ;; `eglot-code-action-quickfix' of Eglot 1.9 asks for repairs and takes none.
  (let ((bounds (eglot--region-bounds)))
    (cl-letf (((symbol-function 'completing-read)
               (lambda (_prompt choices &rest _)
                 (car (cl-find-if (lambda (it) (string-match-p "fix" (car it))) choices)))))
      (eglot-code-actions (car bounds) (cadr bounds) "quickfix" t))))
(global-set-key [f5] #'drive-mend)

(defun drive-choices ()
  "What stands in the window of completions."
  (if (get-buffer "*Completions*")
      (with-current-buffer "*Completions*"
        (buffer-substring-no-properties (point-min) (point-max)))
    ""))

(defun drive-choose (text)
  "Choose the completion that has TEXT, by going there and typing RET."
  (switch-to-completions)
  (goto-char (point-min))
  (when (search-forward text nil t)
    (goto-char (match-beginning 0))
    (drive-keys "RET")))

(defun drive ()
  "The day."
  (let (log manual server)
    ;; Opened: the file is known, the server runs, and what is out is shown at its line.
    (drive-keys "C-x C-f tarn.rebuild RET")
    (setq log (current-buffer))
    (drive-check "the log is known by its name" (eq major-mode 'gudgeon-mode) major-mode)
    (drive-eventually "the server is attached" 10 (eglot-current-server) it)
    (setq server (eglot-current-server))
    ;; Flymake begins behind the first command in the buffer.
    (drive-keys "C-l")
    (drive-eventually "what is out is shown when the log is opened" 10 (drive-findings log)
      (member "14 limit.out eglot-error go 0.55, no-go 0.60 mm" it))
    (drive-eventually "what is open is for information" 5 (drive-findings log "step.open")
      (and (= (length it) 1) (string-prefix-p "1 step.open eglot-note" (car it))))
    (drive-check "findings say whose they are"
                 (let ((first (car (flymake-diagnostics))))
                   (and first (string-match-p "gudgeon" (flymake-diagnostic-text first)))))

    ;; A reading is typed, with letters of two, three and four bytes before its figure.
    (drive-keys "M->")
    (drive-type "run-out at é汉𐐀 side = 0.09 mm")
    (drive-eventually "a reading that is out is found, and covers its figure" 5 (drive-findings log)
      (member "15 limit.out eglot-error 0.09 mm" it))

    ;; Hover over the figure tells the limit.
    (drive-go 15 "0.09")
    (let (shown)
      (eglot-hover-eldoc-function (lambda (text &rest _) (setq shown text)))
      (drive-eventually "hover tells the limit" 5 shown
        (and (stringp it) (string-match-p "0\\.03" it)))
      (drive-check "as plain text, as the editor asked for it" (not (string-match-p "\\*\\*" (or shown ""))) shown))

    ;; A slip of the pen, mended by what the editor offers.
    (drive-keys "M->")
    (drive-keys "RET")
    (drive-type "end float of é汉𐐀 shaft = 0.51 mm")
    (drive-eventually "a slip is found" 5 (drive-findings log)
      (member "16 reading.slip eglot-error 0.51 mm" it))
    (drive-go 16 "0.51")
    (drive-idle 0.7)
    (condition-case failure (drive-keys "<f5>") (error (drive-check "a repair is offered" nil failure)))
    (drive-eventually "the repair is written below" 5 (drive-line 17)
      (equal it "fix end float of é汉𐐀 shaft 0.51 mm -> 0.15 mm, two digits swapped"))
    (drive-check "what was written stays" (equal (drive-line 16) "end float of é汉𐐀 shaft = 0.51 mm") (drive-line 16))
    (drive-eventually "the slip is gone" 5 (drive-findings log "reading.slip") (null it))

    ;; Completion on an empty line, from the window of completions.
    (drive-go 17)
    (drive-keys "C-e RET")
    (drive-idle 0.7)
    (condition-case failure (completion-at-point) (error (drive-check "completion opens" nil failure)))
    (drive-eventually "the step that comes next is on offer on an empty line" 5 (drive-choices)
      (string-match-p "torque cases" it))
    (condition-case failure (drive-choose "did torque cases") (error (drive-check "the choice goes through" nil failure)))
    (switch-to-buffer log)
    (drive-eventually "it is accepted" 5 (drive-line 18) (string-prefix-p "did torque cases" it))
    (drive-eventually "the step is no longer open" 5 (drive-findings log "step.open") (null it))
    ;; A name of two words, of which the second is begun.
    (drive-go 18)
    (drive-keys "C-e RET")
    (drive-type "web w")
    (drive-idle 0.7)
    (condition-case failure (completion-at-point) (error (drive-check "completion goes on" nil failure)))
    (drive-eventually "a name is completed behind its first word" 5 (drive-line 19) (string-prefix-p "web width" it))
    (ignore-errors (kill-buffer "*Completions*"))
    (goto-char (point-max))
    (delete-region (line-beginning-position) (point))
    (drive-type "web   width=52.01mm    by  mic 50-75")

    ;; Tidy.
    (let* ((untidy (buffer-substring-no-properties (point-min) (point-max)))
           (tidy (with-temp-buffer
                   (insert untidy)
                   (call-process-region (point-min) (point-max) (getenv "GUDGEON") t t nil "tidy" "-")
                   (buffer-string))))
      (drive-check "there is something to tidy" (not (equal tidy untidy)) tidy)
      (condition-case failure (eglot-format-buffer) (error (drive-check "formatting goes through" nil failure)))
      (drive-check "formatting lays the whole log out as `gudgeon tidy' does"
                   (equal tidy (buffer-substring-no-properties (point-min) (point-max)))
                   (buffer-substring-no-properties (point-min) (point-max))))

    ;; A name, everywhere.
    (drive-keys "C-x C-f manuals/tarn-250.manual RET")
    (setq manual (current-buffer))
    (drive-check "the manual is known by its name" (eq major-mode 'gudgeon-manual-mode) major-mode)
    (drive-eventually "it has the same server" 5 (eglot-current-server) (and it (eq it server)))
    (drive-eventually "a manual that is in order has no findings" 3 (drive-findings manual) (null it))
    (switch-to-buffer log)
    (drive-go 16 "end float")
    (drive-idle 0.7)
    (condition-case failure (eglot-rename "shaft float") (error (drive-check "renaming goes through" nil failure)))
    (drive-eventually "a feature is renamed in the log" 5 (drive-line 16)
      (equal it "shaft float of é汉𐐀 shaft = 0.51 mm"))
    (drive-eventually "and in the line that mends it" 5 (drive-line 17)
      (equal it "fix shaft float of é汉𐐀 shaft 0.51 mm -> 0.15 mm, two digits swapped"))
    (drive-eventually "and in its manual" 5 (with-current-buffer manual (buffer-string))
      (and (string-match-p "^feature shaft float$" it) (string-match-p "disturbs shaft float" it)
           (not (string-match-p "end float" it))))
    (drive-eventually "nothing is unknown afterwards" 5 (drive-findings log "unknown.feature") (null it))
    (drive-go 7 "feelers")
    (drive-idle 0.7)
    (condition-case failure (eglot-rename "blades") (error (drive-check "renaming a tool goes through" nil failure)))
    (drive-eventually "a tool is renamed where it is declared" 5 (drive-line 7) (equal it "tool blades: feeler gauge"))
    (drive-eventually "and where it was used" 5 (drive-line 14)
      (equal it "side play = go 0.55, no-go 0.60 mm by blades"))
    (save-some-buffers t)

    ;; From a reading to its limit.
    (drive-go 15 "run-out")
    (condition-case failure (drive-keys "M-.") (error (drive-check "M-. goes through" nil failure)))
    (drive-eventually "a feature leads to its line in the manual" 5
        (list (buffer-name) (drive-line (line-number-at-pos)))
      (equal it '("tarn-250.manual" "feature run-out at drive side, é汉𐐀 side")))

    ;; The manual is changed in its own buffer; the log is judged again at once, with nothing saved.
    (switch-to-buffer manual)
    (goto-char (point-min))
    (search-forward "up to 0.03")
    (drive-keys "DEL")
    (drive-type "9")
    (drive-eventually "a changed manual judges the open log again" 5 (drive-findings log)
      (not (member "15 limit.out eglot-error 0.09 mm" it)))
    (drive-keys "DEL")
    (drive-type "3")
    (drive-eventually "and again, when the change is undone" 5 (drive-findings log)
      (member "15 limit.out eglot-error 0.09 mm" it))
    (goto-char (point-max))
    (drive-type "step torqe cases; torqe up")
    (drive-eventually "a manual has findings of its own" 5 (drive-findings manual) it)
    (drive-keys "C-a C-k")
    (drive-eventually "which go with what gave them" 5 (drive-findings manual) (null it))
    (set-buffer-modified-p nil)

    ;; The outline, through the server.
    (switch-to-buffer log)
    (drive-eventually "the outline has the day" 5 (ignore-errors (format "%S" (funcall imenu-create-index-function)))
      (and (stringp it) (string-match-p "2026-03-14" it)))

    ;; What comes next.
    (goto-char (point-max))
    (drive-type "did torque cases, torque 30 N·m")
    (condition-case failure (drive-keys "C-c C-n") (error (drive-check "gudgeon-next goes through" nil failure)))
    (drive-eventually "gudgeon-next shows what is to be put right" 5
        (if (get-buffer "*gudgeon next*") (with-current-buffer "*gudgeon next*" (buffer-string)) "")
      (and (string-match-p "put right" it) (string-match-p "torque" it)))
    (save-some-buffers t)

    ;; A new log from a manual.
    (drive-keys "C-x C-f new.rebuild RET")
    (drive-eventually "a new log has the server" 5 (eglot-current-server) (eq it server))
    (drive-check "the manuals of the repository are on offer" (member "tarn-250" (gudgeon--manuals)) (gudgeon--manuals))
    (condition-case failure (drive-keys "M-x gudgeon-start RET tarn-250 RET") (error (drive-check "gudgeon-start goes through" nil failure)))
    (drive-eventually "gudgeon-start fills an empty log" 5 (buffer-string)
      (and (string-match-p "manual +tarn-250" it) (string-match-p "press out crankpin" it)))
    (save-some-buffers t)

    ;; The end: the server goes by itself, and at once.
    (let ((before (float-time)))
      ;; As `eglot-shutdown' does, but for killing the process at once: how it ends by itself is asked.
      (setf (eglot--shutdown-requested server) t)
      (jsonrpc-request server :shutdown nil)
      (jsonrpc-notify server :exit nil)
      (drive-eventually "the server ends by itself within a second" 1
          (list (file-exists-p (getenv "SERVED")) (- (float-time) before))
        (and (car it) (< (cadr it) 1))))
    (let ((ended (with-temp-buffer (ignore-errors (insert-file-contents (getenv "SERVED"))) (buffer-string))))
      (drive-check "one server, and it ends with 0" (equal ended "0\n") ended))
    ;; Another, which Emacs leaves running when it ends; run.sh looks whether it outlived it.
    (jsonrpc-shutdown server t)
    (switch-to-buffer log)
    (eglot-ensure)
    (drive-keys "C-l")
    (drive-eventually "another server can be started" 10 (drive-findings log) it)))

(condition-case failure
    (drive)
  (error (drive-check "the drive came to its end" nil failure)))
(push (format "%d passed, %d failed" (- (length drive-said) drive-failed) drive-failed) drive-said)
(drive-write)
(set-buffer-modified-p nil)
(kill-emacs 0)

;;; drive.el ends here
