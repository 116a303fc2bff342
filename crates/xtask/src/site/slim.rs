//! Taking out of text files what only people read. What is left means the same; brotli does the rest.

/// A style sheet without comments and with single spaces.
pub(crate) fn css(text: &str) -> String {
    let mut slim = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    // A space is only written when the next character needs it.
    let mut space = false;
    while let Some(character) = rest.next() {
        if character == '/' && rest.peek() == Some(&'*') {
            rest.next();
            let mut last = ' ';
            for inside in rest.by_ref() {
                if last == '*' && inside == '/' {
                    break;
                }
                last = inside;
            }
            space = true;
        } else if character.is_whitespace() {
            space = true;
        } else {
            if space && needs_space(slim.chars().next_back(), character) {
                slim.push(' ');
            }
            space = false;
            if character == '}' && slim.ends_with(';') {
                slim.pop();
            }
            slim.push(character);
            if matches!(character, '"' | '\'') {
                let mut escaped = false;
                for inside in rest.by_ref() {
                    slim.push(inside);
                    if inside == character && !escaped {
                        break;
                    }
                    escaped = inside == '\\' && !escaped;
                }
            }
        }
    }
    slim
}

/// The names that a sheet of one block gives to measures, and the measures.
pub(crate) fn measures(text: &str) -> Vec<(String, String)> {
    let block = css(text);
    let block = block
        .trim_start_matches(":root{")
        .trim_end_matches('}')
        .split(';');
    block
        .filter_map(|rule| rule.split_once(':'))
        .map(|(name, value)| (name.to_owned(), value.trim().to_owned()))
        .collect()
}

/// A style sheet with measures in place of their names. One may be made of those before it.
pub(crate) fn settled(style: &str, measures: &[(String, String)]) -> String {
    let settle = |style: String, (name, value): &(String, String)| {
        style.replace(&format!("var({name})"), value)
    };
    measures.iter().rev().fold(style.to_owned(), settle)
}

/// Around braces, semicolons and commas and behind a colon white space means nothing; elsewhere it may (`a :hover`,
/// `1px + 2px`).
fn needs_space(before: Option<char>, after: char) -> bool {
    let loose = |character: char| matches!(character, '{' | '}' | ';' | ',');
    before.is_some_and(|before| !loose(before) && before != ':') && !loose(after)
}

/// A page without comments of its own lines and without indentation.
pub(crate) fn html(text: &str) -> String {
    let mut slim = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("<!--") {
        slim.push_str(before);
        rest = after.split_once("-->").map_or("", |(_, after)| after);
    }
    slim.push_str(rest);
    unindented(slim.lines())
}

/// A script without the comments that have lines of their own and without indentation. Lines inside a template literal
/// would lose their indentation too: the scripts here have none over several lines.
pub(crate) fn script(text: &str) -> String {
    let mut inside = false;
    unindented(text.lines().filter(|line| {
        let line = line.trim();
        if line.starts_with("/*") && !inside {
            match line.find("*/") {
                None => inside = true,
                // Code after a comment on the same line stays, and the comment with it.
                Some(end) if end + 2 < line.len() => return true,
                Some(_) => {}
            }
            return false;
        }
        let comment = inside || line.starts_with("//");
        inside = inside && !line.ends_with("*/");
        !comment
    }))
}

fn unindented<'a>(lines: impl Iterator<Item = &'a str>) -> String {
    let mut slim = String::new();
    for line in lines.map(str::trim).filter(|line| !line.is_empty()) {
        slim.push_str(line);
        slim.push('\n');
    }
    slim
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn slim_css(text: &str, expected: &str) {
        assert_eq!(css(text), expected, "from {text}");
    }

    #[test]
    fn style_sheets_keep_their_meaning() {
        slim_css("a {\n  color : red;\n}\n", "a{color :red}");
        slim_css("a, b > c { }", "a,b > c{}");
        slim_css("a :hover{x:y}", "a :hover{x:y}");
        slim_css("a{width:calc(1px + 2px)}", "a{width:calc(1px + 2px)}");
        slim_css("/* head */ a/* mid */b { } /* end */", "a b{}");
        slim_css(
            "a{content:\"  /* no */ ; }\"}",
            "a{content:\"  /* no */ ; }\"}",
        );
        slim_css(r#"a{content:"\" ;  x"} b{}"#, r#"a{content:"\" ;  x"}b{}"#);
        slim_css(
            "@media (a: b) and (c) { d { e: f; } }",
            "@media (a:b) and (c){d{e:f}}",
        );
        slim_css("a{--empty: ;b:c}", "a{--empty:;b:c}");
        slim_css("", "");
    }

    #[test]
    fn measures_stand_in_place_of_their_names() {
        let measures = measures(
            "/* All */\n:root {\n  --a: 8px;\n  /* of it */\n  --b: var(--a) 1px solid;\n}\n",
        );
        let style = "c{gap:var(--a);border:var(--b);color:var(--ab)}";
        assert_eq!(
            settled(style, &measures),
            "c{gap:8px;border:8px 1px solid;color:var(--ab)}",
            "settled"
        );
    }

    #[test]
    fn pages_lose_comments_and_indentation() {
        assert_eq!(
            html("<p>\n  <!-- why\n  so -->\n  a <b>c</b>\n</p>\n"),
            "<p>\na <b>c</b>\n</p>\n",
            "slim page"
        );
    }

    #[test]
    fn scripts_lose_whole_line_comments() {
        let text = "/**\n * docs\n */\nfunction a() {\n  // why\n  return \"/* kept */\"; // kept\n}\n/* one */\n/* two */ b();\nc();\n";
        assert_eq!(
            script(text),
            "function a() {\nreturn \"/* kept */\"; // kept\n}\n/* two */ b();\nc();\n",
            "slim script"
        );
    }
}
