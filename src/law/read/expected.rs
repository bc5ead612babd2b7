//! What the grammar's rules are called in messages: in words of the trade, one place for all.

use super::Rule;
use super::parse::Grammar;
use pest::Parser;

/// `a`, `b` or `c`: what could have stood at a place.
pub(super) fn list(rules: &[Rule]) -> String {
    let mut names: Vec<&str> = rules.iter().flat_map(|rule| called(*rule)).collect();
    names.sort_unstable_by_key(|name| (name.starts_with('`'), *name));
    names.dedup();
    for (signs, together) in [(CALCULATION.as_slice(), "a calculation"), (&COMPARISON, "a comparison")] {
        if signs.iter().filter(|sign| names.contains(sign)).count() > 2 {
            names.retain(|name| !signs.contains(name));
            names.insert(0, together);
        }
    }
    match names.split_last() {
        None => "the end of the line".into(),
        Some((last, [])) => (*last).into(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}

/// Signs that would fill a line if each were listed.
const CALCULATION: [&str; 9] = ["a rounding", "`*`", "`+`", "`-`", "`.`", "`/`", "`at`", "`of`", "`rounded`"];
const COMPARISON: [&str; 7] = ["`=`", "`<`", "`<=`", "`>`", "`>=`", "`is`", "`within`"];

/// The words among what could have stood there, for the nearest one.
pub(super) fn words(rules: &[Rule]) -> impl Iterator<Item = &'static str> {
    let words =
        rules.iter().flat_map(|rule| called(*rule)).filter_map(|name| name.strip_prefix('`')?.strip_suffix('`'));
    words.filter(|word| word.starts_with(|c: char| c.is_ascii_lowercase()))
}

/// A place that the grammar refused.
pub(super) struct Misfit<'a> {
    /// What stands before it in the file.
    pub before: &'a str,
    /// The word or mark at it.
    pub token: &'a str,
    /// All from there on.
    pub ahead: &'a str,
}

/// What people write out of habit, and how it is said here.
pub(super) fn habit(misfit: &Misfit, rules: &[Rule]) -> Option<String> {
    let Misfit { before, token, ahead } = misfit;
    let can_go_on = rules.contains(&Rule::kw_and) || rules.contains(&Rule::equal);
    let is_amount = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
    let mut last = before.split_whitespace().rev();
    let (last, last_but_one) = (last.next().unwrap_or(""), last.next().unwrap_or(""));
    let begins_line = before.trim_end_matches([' ', '\t']).ends_with('\n');
    let labels = ahead.get(token.len()..).is_some_and(|text| text.trim_start().starts_with([':', '"']));
    let said = match *token {
        "==" => "amounts are compared with `=`, choices and items with `is`",
        "!=" | "<>" => "for choices and items write `is not`, for amounts `not a = b`",
        "&&" => "write `and`",
        "||" => "write `or`",
        "!" => "write `not`",
        "until" => "`before X` leaves X out",
        _ if is_amount(last) && matches!(last_but_one, "is" | "not") => {
            "amounts are compared with `=`, `<=` and the like"
        }
        "in" if can_go_on => "for one of several write `is any of`",
        word if begins_line && CLAUSES.contains(&word) && !labels => {
            return Some(format!("a clause `{word}` begins as far left as the other clauses"));
        }
        _ if begins_line && can_go_on && labels => "a further part needs its name, a title and a colon",
        word if is_amount(word) && word.ends_with(|c: char| c.is_ascii_alphabetic()) => {
            "a space stands between a number and its unit"
        }
        word if word.starts_with(['-', '−']) && can_go_on => "a minus has a space on both sides",
        word if word.starts_with('"') && (word.len() == 1 || !word.ends_with('"')) => {
            "the text has no closing quote on its line"
        }
        word if rules.iter().any(|rule| called(*rule).any(|name| matches!(name, "a name" | "an expression")))
            && Grammar::parse(Rule::keyword, word).is_ok() =>
        {
            return Some(format!("`{word}` is a word of this language and can't be a name"));
        }
        _ => return None,
    };
    Some(said.into())
}

/// Clauses whose word can't begin a further line of another clause.
const CLAUSES: [&str; 23] = [
    "aliases", "why", "cites", "figures", "stage", "level", "value", "list", "where", "needs", "except", "evidence",
    "awaits", "points", "remedy", "caution", "ask", "given", "example", "doc", "note", "source", "means",
];

/// A rule's names in messages; none for those that never stand alone in one.
fn called(rule: Rule) -> impl Iterator<Item = &'static str> {
    called_together(rule).split('|').filter(|name| !name.is_empty())
}

fn called_together(rule: Rule) -> &'static str {
    use Rule::*;
    match rule {
        kw_adds => "`adds`",
        kw_all => "`all`",
        kw_and => "`and`",
        kw_any => "`any`",
        kw_as => "`as` and a type",
        kw_asked => "`asked`",
        kw_at => "`at`",
        kw_gives => "`gives`",
        gives_value => "a figure|a value|`yes`|`no`|`unknown`",
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
        kw_checked => "`checked`",
        kw_called | called_so => "`called`",
        as_of => "a day such as 2026-09-01",
        reach_of | reach_line => "`new`|`old and new`",
        add_meaning => "`for`",
        target_name => "`name`",
        kw_was | was_steps | was_quoted | was_names => "`was`",
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
        bounds => "`from`|`before`",
        step => "`from`",
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
        brace => "`}`",
        the_one => "`shop`|`permit`",
        // Whole lines are named by what they begin with: nothing of them was found.
        title_line | name_line | names_line | value_line | list_line | choice_list | item_line | except_line
        | define_line | term_line | choice_line | group_line | sheet_line | unsaid_line | key_line | column_line
        | part_start => "a name",
        text_line => "a text in quotes",
        bounds_line => "`from`|`before`",
        cite_line => "an edition such as NEC 2023",
        figures_line | status_line => "`verified`|`memory`",
        for_line => "`each`|`shop`|`permit`",
        part_line | paths_line | body_line => "an expression",
        evidence_line | ask_line | ask_start | fact_line | ordinary_line => "a kind, a dot and a word",
        answer_line => "a value",
        gives_line => "an item",
        example_line => "`pass`|`attention`|`unknown`|`not applicable`",
        set_line => "an item, a dot, a word and a value",
        beyond_line => "`unknown`|`last row`|a value",
        cell_line => "a value|`-`",
        any_edition => "`any edition`",
        and_later => "`and later`",
        in_force => "`in force`",
        proposed => "`proposed`",
        withdrawn => "`withdrawn`",
        absorbed => "`absorbed in`",
        unsettled => "`unsettled`",
        floating => "`floating`",
        otherwise => "`otherwise`",
        stricter_only => "`stricter only`",
        no_edits => "`no edits`",
        free => "`free`",
        binding_licensed => "`binding licensed`",
        strictest_wins => "`strictest wins`",
        this_layer_wins => "`this layer wins`",
        differ_ask => "`ask`",
        target_rule => "`rule`",
        target_group => "`rules in`",
        target_every => "`every rule`",
        target_stage => "`with stage`",
        target_table => "`table`",
        target_define => "`term`|`figure`",
        target_value => "`value`",
        none => "`none`",
        rule_count | whole_number => "a number and `rules`",
        to_part => "`needs`|`where`",
        kw_of_rule => "`of rule`",
        switched_off => "`switched off`",
        no_rule => "`no rule`",
        advice | kw_advice => "`advice`",
        at_stage | kw_stage => "`stage`",
        came_out => "`pass`|`attention`|`unknown`|`not applicable`",
        steps => "an amount",
        keys => "`(`",
        flat_cell | cell_words_in => "a value",
        deferred_to => "who decides",
        address => "an address",
        reach => "an edition such as NEC 2023",
        layer_line | set_limit | set_test | strike_test | set_list | add_item | borrow_value => "a name",
        over_line => "an edition such as NEC 2023|`any edition`",
        day_line => "a day such as 2026-09-01",
        standing_line => "`in force`|`proposed`|`withdrawn`|`absorbed in`|`unsettled`",
        origin_line => "a text in quotes",
        adopt_line => "an edition such as NEC 2023",
        below_line => "a kind",
        differ_line => "`strictest wins`|`this layer wins`|`ask`",
        only_line => "`where`",
        change_line => "`rule`|`table`|`term`",
        set_word | set_reach | set_body | set_text | defer_line => "`to`",
        set_whole | strike_whole => "`,`",
        set_cell | add_row | strike_row => "`(`",
        strike_evidence => "a kind, a dot and a word",
        borrow_rule => "`from`",
        layer_example => "`pass`|`attention`|`unknown`|`not applicable`|`switched off`",
        // These are never asked for by name.
        keyword | name_char | unit_word | compare | operand | atom | flat | balanced | when | purpose | for_purpose
        | WHITESPACE | COMMENT => "",
    }
}
