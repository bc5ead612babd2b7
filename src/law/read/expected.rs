//! What the grammar's rules are called in messages: in words of the trade, one place for all.

use super::Rule;

/// `a`, `b` or `c`: what could have stood at a place.
pub(super) fn list(rules: &[Rule]) -> String {
    let mut names: Vec<&str> = rules.iter().map(|rule| called(*rule)).filter(|name| !name.is_empty()).collect();
    names.sort_unstable_by_key(|name| (name.starts_with('`'), *name));
    names.dedup();
    match names.split_last() {
        None => "the end of the line".into(),
        Some((last, [])) => (*last).into(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}

/// The words among what could have stood there, for the nearest one.
pub(super) fn words(rules: &[Rule]) -> impl Iterator<Item = &'static str> {
    rules.iter().filter_map(|rule| called(*rule).strip_prefix('`')?.strip_suffix('`'))
}

/// What people write out of habit, and how it is said here.
pub(super) fn habit(token: &str, ahead: &str, rules: &[Rule]) -> Option<&'static str> {
    let can_go_on = rules.contains(&Rule::kw_and) || rules.contains(&Rule::equal);
    match token {
        "==" => Some("amounts are compared with `=`, choices and items with `is`"),
        "!=" | "<>" => Some("for choices and items write `is not`, for amounts `not a = b`"),
        "&&" => Some("write `and`"),
        "||" => Some("write `or`"),
        "!" => Some("write `not`"),
        "until" => Some("`before X` leaves X out, and nothing takes it in"),
        "-" | "−" => Some("a minus has a space on both sides"),
        "in" if can_go_on => Some("for one of several write `is any of`"),
        _ if can_go_on && ahead.get(token.len()..).is_some_and(|t| t.trim_start().starts_with([':', '"'])) => {
            Some("a further part begins on a line of its own with its name, a title and a colon")
        }
        _ => None,
    }
}

/// A rule's name in messages. Empty for those that never stand alone in one.
fn called(rule: Rule) -> &'static str {
    use Rule::*;
    match rule {
        kw_adds => "`adds`",
        kw_all => "`all`",
        kw_and => "`and`",
        kw_any => "`any`",
        kw_as => "`as` and a type",
        kw_asked => "`asked`",
        kw_at => "`at`",
        kw_before | before => "`before`",
        kw_by => "`by`",
        kw_choice => "`choice`",
        kw_count => "`count`",
        kw_down => "`down`",
        kw_each => "`each`",
        kw_else => "`else`",
        kw_except => "`except`",
        kw_for => "`for`",
        kw_from | from => "`from`",
        kw_if => "`if`",
        kw_in => "`in`",
        kw_is => "`is`",
        kw_largest => "`largest`",
        kw_least => "`least`",
        kw_limit => "`limit`",
        kw_list => "`list`",
        kw_missing => "`missing`",
        kw_most => "`most`",
        kw_no => "`no`",
        kw_not => "`not`",
        kw_of => "`of`",
        kw_or => "`or`",
        kw_part => "`part`",
        kw_rank => "`rank`",
        kw_rounded => "`rounded`",
        kw_sum => "`sum`",
        kw_then => "`then`",
        kw_to => "`to`",
        kw_up => "`up`",
        kw_where => "`where`",
        kw_within => "`within`",
        kw_yes => "`yes`",
        colon => "`:`",
        comma => "`,`",
        open => "`(`",
        close => "`)`",
        dot => "`.`",
        equal => "`=`",
        at_most => "`<=`",
        at_least => "`>=`",
        less => "`<`",
        more => "`>`",
        plus => "`+`",
        minus => "`-`",
        times => "`*`",
        over => "`/`",
        hole => "`{`",
        no_limit => "`no limit`",
        yes_no => "`yes/no`",
        pass => "`pass`",
        attention => "`attention`",
        unknown => "`unknown`",
        not_applicable => "`not applicable`",
        figures_memory => "`memory`",
        figures_verified => "`verified`",
        meet_exact => "`exact`",
        meet_up => "`up`",
        meet_down => "`down`",
        last_row => "`last row`",
        no_value => "`-`",
        ident | name | kinds => "a name",
        word_name => "a kind, a dot and a word",
        value_word | option | list_value => "a value of a choice",
        tag => "the name of an item",
        text | quoted | inner => "a text in quotes",
        message | literal => "text",
        date => "a day such as 2026-09-01",
        edition | year => "an edition such as NEC 2023",
        moment => "an edition or a day",
        bounds | step => "`from` or `before`",
        number | quantity => "an amount",
        unit | result_unit => "a unit",
        expression | conditional | disjunction | conjunction | negation | comparison | rounding | sum | product
        | path => "an expression",
        quantified | each | over_list | any_of | count_of | sum_of | extreme | rank_of | call | bracket => {
            "an expression"
        }
        is | is_any_of => "`is`",
        within => "`within`",
        to_table | rounded => "a rounding",
        options | arguments | parameters => "`(`",
        parameter => "a letter, a colon and a type",
        type_name => "a type",
        limit | asked => "an amount",
        section => "a section",
        part_label => "a name and a colon",
        missing => "a word",
        set => "an item, a dot, a word and a value",
        set_value | cell | cell_words => "a value",
        EOI => "the end of the line",
        // Whole lines and hidden rules: what they begin with is reported instead.
        keyword | title_line | name_line | names_line | text_line | bounds_line | cite_line | figures_line
        | part_start | ask_start | value_line | list_line | choice_list | item_line | for_line | part_line
        | except_line | evidence_line | ask_line | paths_line | define_line | term_line | body_line | fact_line
        | ordinary_line | answer_line | choice_line | group_line | example_line | unsaid_line | set_line | key_line
        | column_line | beyond_line | cell_line | status_line | name_char | unit_word | compare | operand | atom
        | flat | balanced | when | WHITESPACE | COMMENT => "",
    }
}
