" Colours of every kind of line, asked of the editor itself. Run by run.sh; in Vim and in Neovim.
set encoding=utf-8
scriptencoding utf-8
let s:root = expand('<sfile>:p:h:h:h:h')
let s:said = []
let s:failed = 0
let s:passed = 0

function! s:Check(name, wanted, got) abort
  if a:wanted ==# a:got
    let s:passed += 1
    call add(s:said, 'ok - ' . a:name)
  else
    let s:failed += 1
    call add(s:said, 'not ok - ' . a:name . ': wanted ' . string(a:wanted) . ', got ' . string(a:got))
  endif
endfunction

" The group of the character at a line and a byte column, both from 1; '' where there is none.
function! s:Group(line, column) abort
  return synIDattr(synID(a:line, a:column, 1), 'name')
endfunction

" What the words of one line are, by the groups at their first and last character.
function! s:Line(filetype, text, wanted) abort
  for [l:word, l:group] in a:wanted
    " `word#2` is its second occurrence.
    let l:times = matchstr(l:word, '.#\zs\d$')
    let l:plain = l:times ==# '' ? l:word : substitute(l:word, '#\d$', '', '')
    let l:from = -1
    for l:turn in range(l:times ==# '' ? 1 : str2nr(l:times))
      let l:from = stridx(a:text, l:plain, l:from + 1)
    endfor
    call s:Check(a:filetype . ': `' . l:word . '` in `' . a:text . '`', l:group . ' ' . l:group,
          \ l:from < 0 ? 'no such word' : s:At(l:from + 1) . ' ' . s:At(l:from + strlen(l:plain) - strlen(matchstr(l:plain, '.$')) + 1))
  endfor
endfunction

function! s:At(column) abort
  return s:Group(line('.'), a:column)
endfunction

" A page with one line in it, or with a line above.
function! s:Page(filetype, text, wanted, ...) abort
  enew!
  call setline(1, a:000 + [a:text])
  execute 'setlocal filetype=' . a:filetype
  normal! G
  call s:Line(a:filetype, a:text, a:wanted)
endfunction

" ---- files are known by their names --------------------------------------------------------------------
for [s:name, s:type] in [['a.rebuild', 'rebuild'], ['a.manual', 'rebuild-manual']]
  execute 'silent edit! ' . s:root . '/tests/clients/' . s:name
  call s:Check(s:name . ' is known', s:type, &filetype)
  call s:Check(s:name . ' is coloured', s:type, get(b:, 'current_syntax', ''))
  call s:Check(s:name . ' has comments', '# %s', &commentstring)
  call s:Check(s:name . ' can be made', 1, &makeprg =~# '^gudgeon inspect')
endfor

" ---- each kind of line of a log ------------------------------------------------------------------------
let s:log = 'rebuild'
call s:Page(s:log, 'job      bottom end, side play # a remark', [['job', 'gudgeonKeyword'], ['bottom end, side play', 'gudgeonTitle'], ['# a remark', 'gudgeonComment']])
call s:Page(s:log, 'machine  Tarn 250, frame #417 red', [['machine', 'gudgeonKeyword'], ['Tarn 250, frame', 'gudgeonTitle'], ['#417', 'gudgeonComment']])
call s:Page(s:log, 'owner    A. Farrow', [['owner', 'gudgeonKeyword'], ['A. Farrow', 'gudgeonTitle']])
call s:Page(s:log, 'by       the bench', [['by', 'gudgeonKeyword'], ['the bench', 'gudgeonTitle']])
call s:Page(s:log, 'hours    31240 km', [['hours', 'gudgeonKeyword'], ['31240', 'gudgeonNumber'], ['km', 'gudgeonUnit']])
call s:Page(s:log, 'manual   tarn-250', [['manual', 'gudgeonKeyword'], ['tarn-250', 'gudgeonName']])
call s:Page(s:log, 'procedure crank rebuild', [['procedure', 'gudgeonKeyword'], ['crank rebuild', 'gudgeonName']])
call s:Page(s:log, 'units    mm, N·m, blades hundredths', [['units', 'gudgeonKeyword'], ['mm', 'gudgeonUnit'], ['N·m', 'gudgeonUnit'], ['hundredths', 'gudgeonUnit']])
call s:Page(s:log, 'tool mic 50-75: micrometer, reads to 0.01 mm, zero +0.002 mm, due 2027-01-31', [
      \ ['tool', 'gudgeonKeyword'], ['mic 50-75', 'gudgeonToolName'], ['reads to', 'gudgeonFact'], ['0.01', 'gudgeonNumber'], ['mm', 'gudgeonUnit'],
      \ ['+0.002', 'gudgeonNumber'], ['due', 'gudgeonFact'], ['2027-01-31', 'gudgeonDate']])
call s:Page(s:log, '2026-03-14  as found', [['2026-03-14', 'gudgeonDate'], ['as found', 'gudgeonStage']])
call s:Page(s:log, '  2026-03-14 build', [['2026-03-14', 'gudgeonDate'], ['build', 'gudgeonStage']])
call s:Page(s:log, 'web width = 52.03 mm by mic 50-75 at 24 C, wet', [
      \ ['web width', 'gudgeonFeature'], ['=', 'gudgeonOperator'], ['52.03', 'gudgeonNumber'], ['mm', 'gudgeonUnit'], ['by', 'gudgeonBy'],
      \ ['mic 50-75', 'gudgeonTool'], ['at', 'gudgeonFact'], ['24', 'gudgeonNumber'], ['C', 'gudgeonUnit']])
call s:Page(s:log, 'bore of cylinder 1 at top = 72,012mm', [
      \ ['bore', 'gudgeonFeature'], ['of', 'gudgeonOf'], ['cylinder 1', 'gudgeonPart'], ['at', 'gudgeonAt'], ['top', 'gudgeonPlace'], ['72,012', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'out of round at é汉𐐀 = 0.01 mm', [['out of round', 'gudgeonFeature'], ['é汉𐐀', 'gudgeonPlace'], ['0.01', 'gudgeonNumber']])
call s:Page(s:log, 'side play = go 0.50, no-go 0.55 mm by feelers # tried twice', [
      \ ['go', 'gudgeonFact'], ['0.50', 'gudgeonNumber'], ['no-go', 'gudgeonFact'], ['feelers', 'gudgeonTool'], ['# tried', 'gudgeonComment']])
call s:Page(s:log, 'side play = 20 goes 25 no', [['20', 'gudgeonNumber'], ['goes', 'gudgeonFact'], ['no', 'gudgeonFact']])
call s:Page(s:log, 'web width = 52.03 52.02 at 0 90 mm', [['52.03', 'gudgeonNumber'], ['52.02', 'gudgeonNumber'], ['90', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'ring width = 18.2 x3 mm', [['18.2', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'end float = 0.10-0.20 mm', [['0.10', 'gudgeonNumber'], ['0.20', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'end float = 0.15 ± 0.02 mm, k 2', [['±', 'gudgeonOperator'], ['0.02', 'gudgeonNumber']])
call s:Page(s:log, 'jet spacing = 1 3/8 in', [['3', 'gudgeonNumber'], ['8', 'gudgeonNumber'], ['in#2', 'gudgeonUnit']])
call s:Page(s:log, 'premix = 50:1', [['50:1', 'gudgeonNumber']])
call s:Page(s:log, "cam timing = 12° 30'", [['12', 'gudgeonNumber'], ['°', 'gudgeonUnit'], ['30', 'gudgeonNumber'], ["'", 'gudgeonUnit']])
call s:Page(s:log, 'manifold = 1.45 bar abs by pressure gauge', [['bar abs', 'gudgeonUnit'], ['pressure gauge', 'gudgeonTool']])
call s:Page(s:log, 'run-out at drive side = 0.07 mm high at 80°', [['run-out', 'gudgeonFeature'], ['drive side', 'gudgeonPlace'], ['high', 'gudgeonFact'], ['80', 'gudgeonNumber']])
call s:Page(s:log, 'play = 53.95 - 19.02 = 34.93 mm', [['53.95', 'gudgeonNumber'], ['=#2', 'gudgeonOperator'], ['34.93', 'gudgeonNumber']])
call s:Page(s:log, 'squish = ~0.9 mm, because no kit can be had', [['0.9', 'gudgeonNumber'], ['because', 'gudgeonBecause'], ['no kit can be had', 'gudgeonReason']])
call s:Page(s:log, '   top      72.012   -   "', [['72.012', 'gudgeonNumber'], ['-', 'gudgeonDitto'], ['"', 'gudgeonDitto']], 'bore = mm by bore gauge', '            along    across   third')
call s:Page(s:log, '09:40 did press together, force 6 t on press, 28 needles, because it was due', [
      \ ['09:40', 'gudgeonClock'], ['did', 'gudgeonKeyword'], ['press together', 'gudgeonStep'], ['6', 'gudgeonNumber'], ['t#3', 'gudgeonUnit'], ['28', 'gudgeonNumber'], ['because', 'gudgeonBecause']])
call s:Page(s:log, 'did torque head, torque 12/20/28 N·m', [['12', 'gudgeonNumber'], ['20', 'gudgeonNumber'], ['28', 'gudgeonNumber'], ['N·m', 'gudgeonUnit']])
call s:Page(s:log, 'undid press together, because the web was not held', [['undid', 'gudgeonWarning'], ['press together', 'gudgeonStep']])
call s:Page(s:log, 'found crankpin: discoloured, replace', [['found', 'gudgeonKeyword'], ['crankpin', 'gudgeonPartName'], ['replace', 'gudgeonDecision']])
call s:Page(s:log, 'ordered rod kit A: number 4471-02, price 129 EUR', [['ordered', 'gudgeonKeyword'], ['rod kit A', 'gudgeonPartName'], ['4471-02', 'gudgeonNumberOf'], ['129', 'gudgeonNumber'], ['EUR', 'gudgeonUnit']])
call s:Page(s:log, 'waiting for rod kit A, since 2026-03-15', [['waiting for', 'gudgeonKeyword'], ['rod kit A', 'gudgeonPartName'], ['2026-03-15', 'gudgeonDate']])
call s:Page(s:log, 'got rod kit A: number 4471-02', [['got', 'gudgeonKeyword'], ['rod kit A', 'gudgeonPartName']])
call s:Page(s:log, 'chose rod kit A over rod kit B, because the pin keeps it', [['chose', 'gudgeonKeyword'], ['rod kit A', 'gudgeonChoice'], ['over', 'gudgeonFact'], ['rod kit B', 'gudgeonChoice'], ['because', 'gudgeonBecause']])
call s:Page(s:log, 'option do it here: parts 128 EUR, labour 6 h at 15 EUR', [['option', 'gudgeonKeyword'], ['do it here', 'gudgeonPartName'], ['128', 'gudgeonNumber'], ['h#2', 'gudgeonUnit']])
call s:Page(s:log, 'cost rebore: work 45 EUR, post 2 x 6 EUR', [['cost', 'gudgeonKeyword'], ['rebore', 'gudgeonPartName'], ['45', 'gudgeonNumber'], ['EUR', 'gudgeonUnit']])
call s:Page(s:log, 'stock valve shims: 2.30 2.35 x2 2.40 mm', [['stock', 'gudgeonKeyword'], ['valve shims', 'gudgeonPartName'], ['2.35', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'fix web width 52.53 -> 52.03, half a millimetre misread', [['fix', 'gudgeonKeyword'], ['web width', 'gudgeonFixName'], ['52.53', 'gudgeonNumber'], ['->', 'gudgeonOperator'], ['52.03', 'gudgeonNumber']])
call s:Page(s:log, 'fix side play go 0.45, no-go 0.40 -> go 0.40, no-go 0.45 mm', [['side play', 'gudgeonFixName'], ['go', 'gudgeonFact'], ['0.45', 'gudgeonNumber']])
call s:Page(s:log, 'fix bore of cylinder 1 72.53 mm -> 72.03 mm, misread', [['bore', 'gudgeonFixName'], ['cylinder 1', 'gudgeonPart'], ['72.53', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'held on centres, supports 160 mm apart', [['held', 'gudgeonKeyword'], ['160', 'gudgeonNumber'], ['mm', 'gudgeonUnit']])
call s:Page(s:log, 'checked mic 50-75, on its 50 mm standard', [['checked', 'gudgeonKeyword'], ['mic 50-75', 'gudgeonToolName'], ['50#2', 'gudgeonNumber']])
call s:Page(s:log, 'note the sound changed = a word', [['note', 'gudgeonKeyword'], ['the sound changed', 'gudgeonNote']])
call s:Page(s:log, '  and stayed = so', [['and stayed = so', 'gudgeonNote']], 'note the sound changed')
call s:Page(s:log, 'web width = 52 mm', [['web width', 'gudgeonFeature']], 'note the sound changed')
call s:Page(s:log, 'photo pictures/pin-flush.jpg', [['photo', 'gudgeonKeyword'], ['pictures/pin-flush.jpg', 'gudgeonPath']])
call s:Page(s:log, 'closed 2026-04-09', [['closed', 'gudgeonKeyword'], ['2026-04-09', 'gudgeonDate']])
call s:Page(s:log, 'this is plainly prose', [['this', ''], ['prose', '']])
call s:Page(s:log, 'manual gap = 0.3 mm', [['manual gap', 'gudgeonFeature'], ['0.3', 'gudgeonNumber']])

" ---- each kind of line of a manual ---------------------------------------------------------------------
let s:manual = 'rebuild-manual'
call s:Page(s:manual, 'manual   Tarn 250, edition 3', [['manual', 'gudgeonKeyword'], ['Tarn 250, edition 3', 'gudgeonName']])
call s:Page(s:manual, 'source   invented', [['source', 'gudgeonKeyword'], ['invented', 'gudgeonTitle']])
call s:Page(s:manual, 'extends  pressed crank', [['extends', 'gudgeonKeyword'], ['pressed crank', 'gudgeonName']])
call s:Page(s:manual, 'units    mm, t', [['units', 'gudgeonKeyword'], ['mm', 'gudgeonUnit'], ['t#2', 'gudgeonUnit']])
call s:Page(s:manual, 'feature run-out at drive side, also r/o', [['feature', 'gudgeonKeyword'], ['run-out', 'gudgeonFeature'], ['at#2', 'gudgeonList'], ['also', 'gudgeonList'], ['r/o', 'gudgeonFeature']])
call s:Page(s:manual, '  build    0.35 to 0.50 mm, source page 41', [['build', 'gudgeonKeyword'], ['0.35', 'gudgeonNumber'], ['to', 'gudgeonBound'], ['mm', 'gudgeonUnit'], ['source', 'gudgeonSourceWord'], ['page 41', 'gudgeonSource']])
call s:Page(s:manual, '  service  up to 0.60 mm', [['service', 'gudgeonKeyword'], ['up to', 'gudgeonBound'], ['0.60', 'gudgeonNumber']])
call s:Page(s:manual, '  as found  at least 0.05 mm', [['as found', 'gudgeonStage'], ['at least', 'gudgeonBound'], ['0.05', 'gudgeonNumber']])
call s:Page(s:manual, '  nominal  52.00 ± 0.02 mm', [['nominal', 'gudgeonKeyword'], ['±', 'gudgeonOperator']])
call s:Page(s:manual, '  build    25 bearing/k5', [['25', 'gudgeonNumber'], ['bearing/k5', 'gudgeonCode']])
call s:Page(s:manual, '  build    25 H7/p6', [['H7/p6', 'gudgeonCode']])
call s:Page(s:manual, '  unit     mm', [['unit', 'gudgeonKeyword'], ['mm', 'gudgeonUnit']])
call s:Page(s:manual, '  say      on centres or on main journals', [['say', 'gudgeonKeyword'], ['or', 'gudgeonOther']])
call s:Page(s:manual, '  required as found', [['required', 'gudgeonKeyword']])
call s:Page(s:manual, '  decide   guarded at 95 %', [['decide', 'gudgeonKeyword'], ['guarded', 'gudgeonOther'], ['95', 'gudgeonNumber'], ['%', 'gudgeonUnit']])
call s:Page(s:manual, '  material 23 ± 2 ppm/K', [['material', 'gudgeonKeyword'], ['ppm/K', 'gudgeonUnit']])
call s:Page(s:manual, '  alike    within 1 g', [['alike', 'gudgeonKeyword'], ['within', 'gudgeonBound'], ['1', 'gudgeonNumber']])
call s:Page(s:manual, '  aim      0.45 mm', [['aim', 'gudgeonKeyword'], ['0.45', 'gudgeonNumber']])
call s:Page(s:manual, '  limits of side play', [['limits', 'gudgeonKeyword']])
call s:Page(s:manual, '  agrees with side play', [['agrees', 'gudgeonKeyword']])
call s:Page(s:manual, '  ahead', [['ahead', 'gudgeonKeyword']])
call s:Page(s:manual, '  choose shim from stock valve shims, up to 2 together', [['choose', 'gudgeonKeyword'], ['from stock', 'gudgeonOther'], ['2', 'gudgeonNumber']])
call s:Page(s:manual, 'calc piston clearance = smallest(bore) - 2 * largest(piston size)', [
      \ ['calc', 'gudgeonKeyword'], ['piston clearance', 'gudgeonCalcName'], ['smallest', 'gudgeonFunction'], ['-', 'gudgeonArithmetic'], ['2', 'gudgeonNumber'], ['*', 'gudgeonArithmetic']])
call s:Page(s:manual, 'precaution web supported, also lower web held', [['precaution', 'gudgeonKeyword'], ['web supported', 'gudgeonFeature'], ['also', 'gudgeonList']])
call s:Page(s:manual, '  because  an unsupported web bends the shaft', [['because', 'gudgeonKeyword'], ['an unsupported web', 'gudgeonProse']])
call s:Page(s:manual, 'procedure crank rebuild', [['procedure', 'gudgeonKeyword'], ['crank rebuild', 'gudgeonName']])
call s:Page(s:manual, '  step press out crankpin  after measure as found; needs web supported; force up to rating of press', [
      \ ['step', 'gudgeonKeyword'], ['press out crankpin', 'gudgeonStep'], ['after', 'gudgeonClauseWord'], ['needs', 'gudgeonClauseWord'], ['up to', 'gudgeonBound']])
call s:Page(s:manual, '  step leak test; pressure 0.40 to 0.50 bar', [['leak test', 'gudgeonStep'], ['0.40', 'gudgeonNumber'], ['bar', 'gudgeonUnit']])
call s:Page(s:manual, '    torque 9 to 11 N·m', [['torque', 'gudgeonStage'], ['9', 'gudgeonNumber'], ['N·m', 'gudgeonUnit']])
call s:Page(s:manual, '    at least 8 h after first start', [['at least', 'gudgeonBound'], ['8', 'gudgeonNumber'], ['after', 'gudgeonClauseWord']])
call s:Page(s:manual, '  one of press pin dry, press pin oiled', [['one of', 'gudgeonKeyword'], ['press pin dry', 'gudgeonStep']])
call s:Page(s:manual, '  never hammer shaft end   because it mushrooms the thread', [['never', 'gudgeonWarning'], ['hammer shaft end', 'gudgeonForbidden'], ['because', 'gudgeonClauseWord'], ['it mushrooms', 'gudgeonProse']])
call s:Page(s:manual, '  # a remark', [['# a remark', 'gudgeonComment']])

" ---- the units and the first words that the language knows ----------------------------------------------
for s:row in filter(readfile(s:root . '/grammar/README.md'), 'v:val =~# "^| [a-z][^|]*| .*`.*|.*|$"')
  let s:cells = split(s:row, '|')
  if len(s:cells) != 3 || s:cells[0] !~# '^ \%(length\|area\|mass\|force\|torque\|pressure\|absolute\|temperature\|angle\|time\|speed\|spring\|money\|expansion\)'
    continue
  endif
  for s:unit in split(s:cells[1], '`[^`]*\zs`')
    let s:unit = matchstr(s:unit, '`\zs.*')
    if s:unit ==# ''
      continue
    endif
    call s:Page('rebuild', 'x = 1 ' . s:unit, [[s:unit, 'gudgeonUnit']])
  endfor
endfor
let s:into = ''
for s:row in readfile(s:root . '/src/syntax/keywords.rs')
  let s:into = s:row =~# 'LOG:' ? 'rebuild' : s:row =~# 'MANUAL:' ? 'rebuild-manual' : s:row =~# '^];' ? '' : s:into
  let s:word = matchstr(s:row, '^    "\zs[a-z]*\ze",$')
  if s:into !=# '' && s:word !=# ''
    let s:behind = get({'one': ' of a, b', 'directly': ' after a', 'not': ' with a', 'only': ' if a in', 'takes': ' out a', 'puts': ' in a'}, s:word, ' something')
    call s:Page(s:into, s:word . s:behind, [[s:word, index(['undid', 'never'], s:word) < 0 ? 'gudgeonKeyword' : 'gudgeonWarning']])
  endif
endfor

" ---- every example of the language reference: no line is left without colour, unless it is prose --------
let s:into = ''
let s:text = []
let s:bare = []
let s:blocks = 0
for s:row in readfile(s:root . '/grammar/README.md')
  if s:into ==# '' && s:row =~# '^```\%(rebuild\|manual\)\>'
    let s:into = s:row =~# '^```manual' ? 'rebuild-manual' : 'rebuild'
    let s:text = []
  elseif s:into !=# '' && s:row ==# '```'
    enew!
    call setline(1, s:text)
    execute 'setlocal filetype=' . s:into
    let s:blocks += 1
    for s:number in range(1, line('$'))
      let s:column = match(getline(s:number), '\S') + 1
      if s:column > 0 && s:Group(s:number, s:column) ==# ''
        call add(s:bare, getline(s:number))
      endif
    endfor
    let s:into = ''
  elseif s:into !=# ''
    call add(s:text, s:row)
  endif
endfor
call s:Check('every block of the reference was looked at', 1, s:blocks > 15)
call filter(s:bare, 'v:val !~# "^   \\+[[:alpha:]]"')
call s:Check('only prose is without colour in the reference', ['this line is plainly prose, and is a note too'], s:bare)

call add(s:said, s:passed . ' passed, ' . s:failed . ' failed')
call writefile(s:said, $SAID)
execute s:failed ? 'cquit!' : 'qall!'
