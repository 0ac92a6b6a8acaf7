//! From bytes to text: what is not UTF-8 is replaced, and said so.

use super::Span;
use super::ast::SyntaxError;

/// A text with what was wrong with its bytes.
#[derive(Debug)]
pub struct Decoded {
    /// The text; each run of bytes that is not UTF-8 became one U+FFFD.
    pub text: String,
    /// One error for each line that held such bytes, 20 at most.
    pub errors: Vec<SyntaxError>,
}

/// Decodes the bytes of a file. Valid UTF-8 is taken over without a copy.
pub fn decode(bytes: Vec<u8>) -> Decoded {
    let bytes = match String::from_utf8(bytes) {
        Ok(text) => {
            return Decoded {
                text,
                errors: Vec::new(),
            };
        }
        Err(error) => error.into_bytes(),
    };
    let mut text = String::with_capacity(bytes.len());
    let mut errors: Vec<SyntaxError> = Vec::new();
    let mut line_has_error = false;
    for chunk in bytes.utf8_chunks() {
        if chunk.valid().contains('\n') {
            line_has_error = false;
        }
        text.push_str(chunk.valid());
        if !chunk.invalid().is_empty() {
            let start = text.len();
            text.push(char::REPLACEMENT_CHARACTER);
            if !line_has_error && errors.len() < 20 {
                errors.push(not_utf8(Span::new(start, text.len()), chunk.invalid()));
            }
            line_has_error = true;
        }
    }
    Decoded { text, errors }
}

fn not_utf8(span: Span, bytes: &[u8]) -> SyntaxError {
    let shown: Vec<String> = bytes.iter().map(|b| format!("{b:02X}")).collect();
    SyntaxError {
        code: "text.not-utf8",
        span,
        message: format!("not UTF-8 text here (byte {})", shown.join(" ")),
        help: "save the file as UTF-8 and type this character again; the rest of the file was read".to_owned(),
        suggestion: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_bytes_are_named_once_a_line_and_the_rest_is_kept() {
        let decoded = decode(b"job x\nnote caf\xE9 \xE9\nhours 3\n".to_vec());
        assert_eq!(decoded.text, "job x\nnote caf\u{FFFD} \u{FFFD}\nhours 3\n");
        assert_eq!(decoded.errors.len(), 1);
        assert_eq!(decoded.errors[0].message, "not UTF-8 text here (byte E9)");
    }
}
