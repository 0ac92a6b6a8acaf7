//! A source file as the names it uses: every path, however it is written, and every macro that is called. Enough of Rust's grammar for that, and no more.

/// What stands in a source, without blanks, comments and literals.
#[derive(Clone, Debug, PartialEq)]
enum Token {
    /// A name or a keyword.
    Name(String),
    /// `::`
    Under,
    /// Anything else, one sign each.
    Sign(char),
}

/// A path as it is meant: from the crate's root (`crate` first), or from the name of another crate.
pub type Path = Vec<String>;

/// The names of one file.
pub struct Source {
    /// Its path below the root of the repository, with `/`.
    pub place: String,
    /// Every path, with `self` and `super` worked out and groups taken apart. A crate that is named as a whole, by `*` or `as`, is a path of its own.
    pub paths: Vec<Path>,
    /// Every macro that is called, without its `!`.
    pub macros: Vec<String>,
}

impl Source {
    /// Reads a file that stands at `place`.
    pub fn read(place: &str, text: &str) -> Source {
        let tokens = tokens(text);
        Source {
            paths: paths(&tokens, &module_of(place)),
            macros: macros(&tokens),
            place: place.to_owned(),
        }
    }

    /// The floor it stands on: the folder below `src`. `lib.rs` and `main.rs` stand on none.
    pub fn floor(&self) -> Option<&str> {
        let (floor, _) = self.place.strip_prefix("src/")?.split_once('/')?;
        Some(floor)
    }
}

/// The module a file is, from the crate's root: `calc/sum.rs` is `calc::sum`, `calc/mod.rs` is `calc`.
fn module_of(place: &str) -> Vec<String> {
    let place = place.strip_prefix("src/").unwrap_or(place);
    let place = place.strip_suffix(".rs").unwrap_or(place);
    let place = place.strip_suffix("/mod").unwrap_or(place);
    place
        .split('/')
        .filter(|name| !matches!(*name, "lib" | "main" | "mod"))
        .map(str::to_owned)
        .collect()
}

fn tokens(text: &str) -> Vec<Token> {
    let signs: Vec<char> = text.chars().collect();
    let sign = |at: usize| signs.get(at).copied().unwrap_or('\n');
    let is_name = |c: char| c.is_alphanumeric() || c == '_';
    let mut list = Vec::new();
    let mut at = 0;
    while at < signs.len() {
        let (c, next) = (sign(at), sign(at + 1));
        if c == '/' && next == '/' {
            while at < signs.len() && sign(at) != '\n' {
                at += 1;
            }
        } else if c == '/' && next == '*' {
            let mut depth = 0;
            loop {
                match (sign(at), sign(at + 1)) {
                    ('/', '*') => (depth, at) = (depth + 1, at + 2),
                    ('*', '/') => (depth, at) = (depth - 1, at + 2),
                    _ => at += 1,
                }
                if depth == 0 || at >= signs.len() {
                    break;
                }
            }
        } else if c == '"' {
            at += 1;
            while at < signs.len() && sign(at) != '"' {
                at += if sign(at) == '\\' { 2 } else { 1 };
            }
            at += 1;
        } else if c == '\'' && (next == '\\' || sign(at + 2) == '\'') {
            // A letter; else it is a lifetime.
            at += if next == '\\' { 3 } else { 2 };
            while at < signs.len() && sign(at) != '\'' {
                at += 1;
            }
            at += 1;
        } else if let Some(end) = raw_end(&signs, at) {
            at = end;
        } else if is_name(c) {
            let from = at;
            while at < signs.len() && is_name(sign(at)) {
                at += 1;
            }
            list.push(Token::Name(signs[from..at].iter().collect()));
        } else if c == ':' && next == ':' {
            list.push(Token::Under);
            at += 2;
        } else {
            if !c.is_whitespace() {
                list.push(Token::Sign(c));
            }
            at += 1;
        }
    }
    list
}

/// Where a raw string (`r#"…"#`, also of bytes) that begins here ends.
fn raw_end(signs: &[char], at: usize) -> Option<usize> {
    let is_inside = at > 0 && signs.get(at - 1).is_some_and(|c| c.is_alphanumeric() || *c == '_');
    let mut end = at + usize::from(signs.get(at) == Some(&'b'));
    if is_inside || signs.get(end) != Some(&'r') {
        return None;
    }
    end += 1;
    let hashes = signs.iter().skip(end).take_while(|c| **c == '#').count();
    end += hashes;
    if signs.get(end) != Some(&'"') {
        return None;
    }
    let closes = |end: &usize| {
        signs.get(*end) == Some(&'"') && signs.iter().skip(end + 1).take_while(|c| **c == '#').count() >= hashes
    };
    let close = (end + 1..signs.len()).find(closes)?;
    Some(close + 1 + hashes)
}

fn macros(tokens: &[Token]) -> Vec<String> {
    let called = tokens.windows(3).filter_map(|three| match three {
        [Token::Name(name), Token::Sign('!'), Token::Sign('(' | '[' | '{')] => Some(name.clone()),
        _ => None,
    });
    called.collect()
}

/// Every path of a file that is the module `own`; modules written inside it count.
fn paths(tokens: &[Token], own: &[String]) -> Vec<Path> {
    let mut list = Vec::new();
    // The module at each open brace.
    let mut within: Vec<Vec<String>> = vec![own.to_vec()];
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        let module = within.last().cloned().unwrap_or_default();
        match token {
            Token::Sign('{') => {
                let inner = match at.checked_sub(2).and_then(|from| tokens.get(from..at)) {
                    Some([Token::Name(word), Token::Name(name)]) if word == "mod" => {
                        [&module[..], std::slice::from_ref(name)].concat()
                    }
                    _ => module,
                };
                within.push(inner);
                at += 1;
            }
            Token::Sign('}') => {
                within.pop();
                at += 1;
            }
            Token::Name(_) => {
                let is_member = at > 0 && tokens.get(at - 1) == Some(&Token::Sign('.'));
                let from = list.len();
                at = path(tokens, at, &Vec::new(), &mut list);
                let found: Vec<Path> = list.drain(from..).collect();
                if !is_member {
                    list.extend(found.into_iter().filter_map(|found| meant(found, &module)));
                }
            }
            // `::std::fs`
            _ => at += 1,
        }
    }
    list
}

/// Reads a path behind `before`, and adds it, or each of its group; where it ends.
fn path(tokens: &[Token], mut at: usize, before: &Path, list: &mut Vec<Path>) -> usize {
    let mut own = before.clone();
    loop {
        match tokens.get(at) {
            Some(Token::Name(name)) => own.push(name.clone()),
            Some(Token::Sign('*')) => own.push("*".to_owned()),
            Some(Token::Sign('{')) => {
                at += 1;
                while !matches!(tokens.get(at), None | Some(Token::Sign('}'))) {
                    at = match tokens.get(at) {
                        Some(Token::Sign(',')) => at + 1,
                        _ => path(tokens, at, &own, list).max(at + 1),
                    };
                }
                return at + 1;
            }
            // `<`, of a turbofish.
            _ => break,
        }
        at += 1;
        if tokens.get(at) != Some(&Token::Under) {
            break;
        }
        at += 1;
    }
    let is_renamed = matches!(tokens.get(at), Some(Token::Name(word)) if word == "as");
    if is_renamed {
        own.push("as".to_owned());
        at += 2;
    }
    list.push(own);
    at
}

/// A path from the crate's root; `None` for one word alone, which names nothing from elsewhere.
fn meant(path: Path, module: &[String]) -> Option<Path> {
    let mut words = path.into_iter().peekable();
    let mut full = match words.peek().map(String::as_str) {
        Some("crate" | "gudgeon") => {
            words.next();
            vec!["crate".to_owned()]
        }
        Some("self" | "super") => [&["crate".to_owned()], module].concat(),
        _ => Vec::new(),
    };
    let is_relative = !full.is_empty();
    for word in words {
        match word.as_str() {
            "self" => {}
            "super" if is_relative => {
                full.pop();
            }
            _ => full.push(word),
        }
    }
    (full.len() > 1).then_some(full)
}
