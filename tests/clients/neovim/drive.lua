-- Drives a real Neovim from outside, by the keys that a mechanic would type: another Neovim runs this, and speaks to the one under test over its own
-- protocol. Keys go through `nvim_input`, so insert mode, the popup menu and the event loop are the real ones.
local root = vim.env.ROOT
local bench = vim.env.BENCH
local said, passed, failed = {}, 0, 0

local editor = vim.fn.jobstart(
  { vim.env.NVIM_UNDER_TEST, '--embed', '--headless', '--clean', '-n', '-u', root .. '/tests/clients/neovim/init.lua', 'tarn.rebuild' },
  { rpc = true, cwd = bench }
)

local function lua(code, ...)
  return vim.rpcrequest(editor, 'nvim_exec_lua', code, { ... })
end

local function keys(text)
  vim.rpcrequest(editor, 'nvim_input', text)
end

local function check(name, good, got)
  if good then
    passed = passed + 1
    table.insert(said, 'ok - ' .. name)
  else
    failed = failed + 1
    table.insert(said, ('not ok - %s: got %s'):format(name, (vim.inspect(got):gsub('%s*\n%s*', ' '))))
  end
  vim.fn.writefile(said, vim.env.SAID)
  return good
end

-- Waits until something holds of what the editor says, at most so many seconds; returns what it said last.
local function eventually(name, seconds, code, holds, ...)
  local last
  local arguments = { ... }
  local good = vim.wait(seconds * 1000, function()
    last = lua(code, unpack(arguments))
    return holds(last) and true or false
  end, 20)
  check(name, good, last)
  return last
end

local function same(wanted)
  return function(got)
    return vim.deep_equal(wanted, got)
  end
end

-- Findings of a buffer as `LINE:BYTE CODE SEVERITY`, from 1, in order of place; of one code, or all.
local findings = [[
  local name, code = ...
  local list = {}
  for _, it in ipairs(vim.diagnostic.get(vim.fn.bufnr(name))) do
    local known = it.code or (it.user_data and it.user_data.lsp and it.user_data.lsp.code) or '?'
    if not code or code == known then
      table.insert(list, { it.lnum, it.col, ('%d:%d %s %s'):format(it.lnum + 1, it.col + 1, known, vim.diagnostic.severity[it.severity]) })
    end
  end
  table.sort(list, function(a, b) return a[1] < b[1] or a[1] == b[1] and a[2] < b[2] end)
  return vim.tbl_map(function(it) return it[3] end, list)
]]

local function has(finding)
  return function(list)
    return vim.tbl_contains(list, finding)
  end
end

-- The same by its line alone: once the log was tidied the columns are others.
local function on_line(start)
  return function(list)
    for _, it in ipairs(list) do
      if it:match('^' .. start .. ':%d+ limit%.out ERROR$') then
        return true
      end
    end
    return false
  end
end

-- A line but for how many blanks stand between its words.
local function reads(wanted)
  return function(got)
    return got:gsub('%s+', ' ') == wanted
  end
end

local function line(number)
  return lua('return vim.api.nvim_buf_get_lines(0, (...) - 1, ..., false)[1] or ""', number)
end

local function text()
  return lua('return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\\n") .. "\\n"')
end

local function normal()
  keys('<Esc>')
  vim.wait(2000, function()
    return vim.rpcrequest(editor, 'nvim_get_mode').mode == 'n'
  end, 10)
end

local function drive()
  -- Opened: the file is known, the server runs, and what is out is shown at its line.
  check('the log is known by its name', lua('return vim.bo.filetype') == 'rebuild', lua('return vim.bo.filetype'))
  check('it is coloured', lua('return vim.b.current_syntax') == 'rebuild')
  eventually('the server is attached', 10, 'return #require("gudgeon").clients(0)', same(1))
  eventually('what is out is shown when the log is opened', 10, findings, has('14:13 limit.out ERROR'), 'tarn.rebuild')
  eventually('what is open is for information', 5, findings, has('1:1 step.open INFO'), 'tarn.rebuild')
  local source = lua('return vim.tbl_map(function(it) return it.source end, vim.diagnostic.get(0))')
  check('findings say whose they are', source[1] == 'gudgeon', source)

  -- A reading is typed, with letters of two, three and four bytes before its figure.
  keys('Gorun-out at é汉𐐀 side = 0.09 mm')
  local column = #'run-out at é汉𐐀 side = ' + 1
  eventually('a reading that is out is found while it is typed', 5, findings, has(('15:%d limit.out ERROR'):format(column)), 'tarn.rebuild')
  normal()
  local over = lua([[
    for _, it in ipairs(vim.diagnostic.get(0)) do
      if it.lnum == 14 and it.severity == 1 then return { it.col, it.end_col } end
    end
  ]])
  check('the finding covers the figure', vim.deep_equal(over, { column - 1, column - 1 + #'0.09 mm' }), over)

  -- Hover over the figure tells the limit.
  keys('15G$')
  lua('vim.lsp.buf.hover()')
  local float = [[
    for _, window in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(window).relative ~= '' then
        return table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, false), '\n')
      end
    end
    return ''
  ]]
  eventually('hover tells the limit', 5, float, function(shown)
    return shown:find('0.03', 1, true)
  end)
  keys('0')

  -- A slip of the pen, mended by what the editor offers.
  keys('Goend float of é汉𐐀 shaft = 0.51 mm')
  normal()
  local slip = ('16:%d reading.slip ERROR'):format(#'end float of é汉𐐀 shaft = ' + 1)
  eventually('a slip is found', 5, findings, has(slip), 'tarn.rebuild')
  lua([[
    Offered = nil
    vim.ui.select = function(items, options, choose)
      Offered = vim.tbl_map(options.format_item or tostring, items)
      for index, item in ipairs(items) do
        if Offered[index]:find('fix', 1, true) then return choose(item, index) end
      end
      choose(nil)
    end
    vim.lsp.buf.code_action()
  ]])
  eventually('a repair is offered', 5, 'return Offered or {}', function(offered)
    return table.concat(offered, '\n'):find('0.51', 1, true)
  end)
  local repair = 'fix end float of é汉𐐀 shaft 0.51 mm -> 0.15 mm, two digits swapped'
  eventually('the repair is written below', 5, 'return vim.fn.getline(17)', same(repair))
  check('what was written stays', line(16) == 'end float of é汉𐐀 shaft = 0.51 mm', line(16))
  eventually('the slip is gone', 5, findings, same {}, 'tarn.rebuild', 'reading.slip')

  -- Completion on an empty line, from the popup menu.
  keys('Go<C-x><C-o>')
  local menu = eventually('completion opens on an empty line', 5, [[
    return vim.fn.pumvisible() == 1 and vim.tbl_map(function(it) return it.abbr ~= '' and it.abbr or it.word end, vim.fn.complete_info({ 'items' }).items) or {}
  ]], function(items)
    return #items > 0
  end)
  local index
  for number, item in ipairs(menu) do
    index = index or (item:find('torque cases', 1, true) and number)
  end
  if check('the step that comes next is on offer', index ~= nil, menu) then
    local selected = lua("return vim.fn.complete_info({ 'selected' }).selected") + 1
    keys(('<C-n>'):rep(index - selected) .. ('<C-p>'):rep(selected - index) .. '<C-y>')
    eventually('it is accepted', 5, 'return vim.fn.getline(18)', function(got)
      return got:match('^did torque cases')
    end)
  end
  normal()
  eventually('the step is no longer open', 5, findings, same {}, 'tarn.rebuild', 'step.open')

  -- Tidy.
  keys('14G02i  ')
  normal()
  keys('Gonote   left    as it is')
  normal()
  keys('Goweb   width=52.01mm    by  mic 50-75')
  normal()
  local untidy = text()
  local tidy = vim.fn.system({ vim.env.GUDGEON, 'tidy', '-' }, untidy)
  check('there is something to tidy', tidy ~= untidy, tidy)
  lua('if vim.lsp.buf.format then vim.lsp.buf.format({ timeout_ms = 5000 }) else vim.lsp.buf.formatting_sync(nil, 5000) end')
  check('formatting lays the whole log out as `gudgeon tidy` does', text() == tidy, text())

  -- A name, everywhere.
  keys('16G0')
  lua('vim.lsp.buf.rename("shaft float")')
  eventually('a feature is renamed in the log', 5, 'return vim.fn.getline(16)', reads('shaft float of é汉𐐀 shaft = 0.51 mm'))
  eventually('and in the line that mends it', 5, 'return vim.fn.getline(17)', reads('fix shaft float of é汉𐐀 shaft 0.51 mm -> 0.15 mm, two digits swapped'))
  eventually('and in its manual', 5, [[
    return vim.tbl_filter(function(it) return it:match('shaft float') or it:match('end float') end, vim.api.nvim_buf_get_lines(vim.fn.bufnr('tarn-250.manual'), 0, -1, false))
  ]], function(lines)
    return #lines == 2 and lines[1] == 'feature shaft float' and lines[2]:match('disturbs shaft float')
  end)
  eventually('nothing is unknown afterwards', 5, findings, same {}, 'tarn.rebuild', 'unknown.feature')
  keys('7G0w')
  lua('vim.lsp.buf.rename("blades")')
  eventually('a tool is renamed where it is declared', 5, 'return vim.fn.getline(7)', reads('tool blades: feeler gauge'))
  eventually('and where it was used', 5, 'return vim.fn.getline(14)', reads('side play = go 0.55, no-go 0.60 mm by blades'))
  lua('vim.cmd("wall")')

  -- From a reading to its limit.
  keys('15G0')
  lua('vim.lsp.buf.definition()')
  eventually('a feature leads to its line in the manual', 5, 'return vim.fn.expand("%:t") .. " " .. vim.fn.getline(".")', same('tarn-250.manual feature run-out at drive side, é汉𐐀 side'))

  -- The manual is changed in its own buffer; the log is judged again at once, with nothing saved.
  lua('vim.cmd("hide edit manuals/tarn-250.manual")')
  eventually('the manual has the server too', 5, 'return #require("gudgeon").clients(0)', same(1))
  keys('/up to 0.03<CR>')
  keys('f3r9')
  eventually('the manual says another limit', 2, 'return vim.fn.getline(".")', same('  build    up to 0.09 mm'))
  eventually('a changed manual judges the open log again', 5, findings, function(list)
    return not on_line(15)(list)
  end, 'tarn.rebuild')
  keys('u')
  eventually('and again, when the change is undone', 5, findings, on_line(15), 'tarn.rebuild')
  keys('Gostep torqe cases; torqe up')
  normal()
  eventually('a manual has findings of its own', 5, findings, function(list)
    return #list > 0
  end, 'tarn-250.manual')
  keys('u')
  eventually('which go with what gave them', 5, findings, same {}, 'tarn-250.manual')
  lua('vim.cmd("update")')
  lua('vim.cmd("edit tarn.rebuild")')

  -- What comes next.
  keys('Godid torque cases, torque 30 N·m')
  normal()
  lua('vim.cmd("GudgeonNext")')
  eventually(':GudgeonNext shows what is to be put right', 5, 'local b = vim.fn.bufnr("gudgeon://next") return b > 0 and table.concat(vim.api.nvim_buf_get_lines(b, 0, -1, false), "\\n") or ""', function(shown)
    return shown:find('put right', 1, true) and shown:find('torque', 1, true)
  end)
  check('and stays in the log', lua('return vim.fn.expand("%:t")') == 'tarn.rebuild')
  lua('vim.cmd("update")')

  -- A new log from a manual.
  lua('vim.cmd("edit new.rebuild")')
  eventually('a new log has the server', 5, 'return #require("gudgeon").clients(0)', same(1))
  local names = lua('return require("gudgeon").manuals("tarn")')
  check('the manuals of the repository are on offer', vim.deep_equal(names, { 'tarn-250' }), names)
  lua('vim.cmd("GudgeonStart tarn-250")')
  eventually(':GudgeonStart fills an empty log', 5, 'return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\\n")', function(shown)
    return shown:find('manual   tarn-250', 1, true) and shown:find('press out crankpin', 1, true)
  end)
  lua('vim.cmd("write")')

  -- The end: the server goes by itself, and at once.
  local pid = lua('return vim.fn.getpid()')
  local before = vim.loop.hrtime()
  vim.rpcnotify(editor, 'nvim_command', 'qall')
  local code = vim.fn.jobwait({ editor }, 5000)[1]
  check('the editor ends with 0', code == 0, code)
  local gone = vim.wait(1000, function()
    return vim.loop.fs_stat(vim.env.SERVED) ~= nil
  end, 10)
  local seconds = (vim.loop.hrtime() - before) / 1e9
  check('the server ends by itself within a second', gone and seconds < 1, { gone, seconds, pid })
  local ended = gone and vim.fn.readfile(vim.env.SERVED) or {}
  check('one server, and it ends with 0', vim.deep_equal(ended, { '0' }), ended)
  local cries = vim.fn.filereadable(vim.env.STDERR) == 1 and vim.fn.readfile(vim.env.STDERR) or {}
  check('the server says nothing of a panic', not table.concat(cries, '\n'):find('panicked'), cries)
end

local good, failure = xpcall(drive, debug.traceback)
if not good then
  check('the drive came to its end', false, failure)
end
table.insert(said, ('%d passed, %d failed'):format(passed, failed))
vim.fn.writefile(said, vim.env.SAID)
pcall(vim.fn.jobstop, editor)
vim.cmd('qall!')
