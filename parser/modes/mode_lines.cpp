// The lines of a mode: parts, then what they do.
#include <algorithm>
#include <charconv>
#include <utility>

#include "parser/modes/mode_line.hpp"
#include "parser/routes/places.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {

ModeLines::ModeLines(Reading& reading, Mode& mode) : reading_(reading), mode_(mode) {
    said_.resize(mode.states.size() + mode.pin_states.size() + mode.location_states.size());
}

Diagnostic& ModeLines::say(std::string_view id, Span where, std::string message) {
    bad_ = true;
    return reading_.say(id, where, std::move(message));
}

bool ModeLines::nothing_more(Tokens& tokens, std::string_view after) {
    const Token more = tokens.peek();
    if (!more) return true;
    Span where = more.where;
    if (more.kind == NodeKind::block) where.end = where.begin + 1;
    say("left-over", where,
        "'" + std::string(reading_.sources->text(where)) + "' is more than '" + std::string(after) +
            "' takes")
        .help =
        "a comma or a line break is missing before '" + std::string(reading_.sources->text(where)) + "'";
    return false;
}

void ModeLines::take(const FileText& file, std::uint32_t element) {
    Tokens tokens(file, element);
    const Token first = tokens.peek();
    if (first.is_word("others")) return take_others(file, tokens);
    if (first.is_word("after")) return take_after(file, tokens);
    if (first.is_word("ambient")) return take_ambient(file, tokens);
    take_states(file, element);
}

void ModeLines::take_others(const FileText&, Tokens& tokens) {
    const Token others = tokens.next();
    const Token at = tokens.next();
    const Token rest = tokens.next();
    if (!at.is_word("at") || !rest.is_word("rest")) {
        say("left-over", others.where, "'others' can only be at rest").help = "write others at rest";
        return;
    }
    if (nothing_more(tokens, "others at rest")) others_at_rest_ = true;
}

void ModeLines::take_after(const FileText& file, Tokens& tokens) {
    const Token word = tokens.next();
    const Token name = tokens.next();
    if (!name.is_word()) {
        say("missing-name", word.where, "'after' needs the name of a mode and how long it has lasted").help =
            "for instance after precharge 3 s";
        return;
    }
    if (std::exchange(after_, true)) {
        say("twice", word.where, "mode " + std::string(mode_.name) + " has 'after' twice");
        return;
    }
    const ModeId entered_from = find_mode(reading_, name.text);
    if (!entered_from) {
        bad_ = true;
        say_unknown_mode(reading_, name, mode_.name);
        return;
    }
    if (name.text == mode_.name) {
        say("mode-circle", name.where, "mode " + std::string(mode_.name) + " cannot be entered from itself");
        return;
    }
    if (tokens.done()) {
        say("missing-attribute", name.where,
            "'after " + std::string(name.text) + "' does not say how long that mode has lasted")
            .help = "for instance after " + std::string(name.text) + " 3 s";
        return;
    }
    ValueCursor cursor{tokens.position(), tokens.end()};
    const Value time = reading_.attributes.read_quantity(*file.tree, cursor, {Dimension::time}, "after");
    tokens.skip_to(cursor.at);
    if (!time.present()) {
        bad_ = true;
        return;
    }
    if (!nothing_more(tokens, "after")) return;
    mode_.after = entered_from;
    mode_.after_s = time.lo;
}

void ModeLines::take_ambient(const FileText& file, Tokens& tokens) {
    const Token word = tokens.next();
    if (std::exchange(ambient_, true)) {
        say("twice", word.where, "mode " + std::string(mode_.name) + " has 'ambient' twice");
        return;
    }
    if (says_nothing_more(tokens, word, "no-amount", "which", "ambient -5..40 degC")) return;
    ValueCursor cursor{tokens.position(), tokens.end()};
    const Value value =
        reading_.attributes.read_quantity(*file.tree, cursor, {Dimension::temperature}, "ambient");
    tokens.skip_to(cursor.at);
    if (!value.present()) {
        bad_ = true;
        return;
    }
    if (nothing_more(tokens, "ambient")) mode_.ambient = value.quantity();
}

void ModeLines::take_states(const FileText& file, std::uint32_t element) {
    const SyntaxNode& node = file.node(element);
    Line line;
    line.where = {file.tree->file, node.begin, node.end};
    Tokens tokens(file, element);
    std::vector<Token> subjects;
    while (!tokens.done() && !(tokens.peek().is_word() && is_state_word(tokens.peek().text)))
        subjects.push_back(tokens.next());
    if (tokens.done()) return say_no_verb(subjects, line.where);
    line.verb = tokens.next();
    if (subjects.empty()) {
        const Token part = tokens.peek();
        say("verb-first", line.verb.where, "the parts come before what they do").help =
            "write " + (part.is_word() ? std::string(part.text) : "S1") + " " + std::string(line.verb.text);
        return;
    }
    if (!read_does(file, tokens, line)) {
        bad_ = true;
        return;
    }
    for (const Token& subject : subjects) {
        line.targets.clear();
        line.group = false;
        find_targets(subject, line);
        bool applied = false, judged = false;
        for (const Target& target : line.targets) {
            if (line.group && !fits(target, line)) continue;
            judged = true;
            if (!fits(target, line)) {
                say_wrong_verb(target, subject, line);
                continue;
            }
            apply(target, line.group, subject, line);
            applied = true;
        }
        if (line.group && !judged && !line.targets.empty())
            say("wrong-verb", line.verb.where,
                "nothing in " + std::string(subject.text) + " can be '" + std::string(line.verb.text) + "'");
        (void)applied;
    }
}

void ModeLines::say_no_verb(const std::vector<Token>& words, Span element) {
    const Token last = words.empty() ? Token{} : words.back();
    if (words.size() > 1 && last.is_word() && !reading_.root.find(last.text.substr(0, last.text.find('.')))) {
        Suggestion nearest(last.text);
        for (const std::string_view word : state_words()) nearest.offer(word);
        Diagnostic& mistake =
            say("unknown-word", last.where, "'" + std::string(last.text) + "' is nothing that a part does");
        if (!nearest.best().empty()) mistake.beside = "write " + std::string(nearest.best());
        mistake.help = "a mode line is parts, then what they do: K1 S1 closed";
        return;
    }
    const Span where = words.empty() ? element : words.front().where;
    say("no-verb", where,
        "this line does not say what " + (words.empty() ? "it" : std::string(words.front().text)) + " does")
        .help = "a mode line is parts, then what they do: K1 S1 closed";
}

// ---- what they do -----------------------------------------------------------------------------------

bool ModeLines::read_does(const FileText& file, Tokens& tokens, Line& line) {
    if (const auto flow = find_flow(line.verb.text)) {
        line.profile.flow = *flow;
        return read_profile(file, tokens, line);
    }
    if (line.verb.text == "at") {
        line.position = tokens.next();
        if (line.position.is_word("rest")) line.rest = true;
        if (!line.position || (!line.position.is_word() && line.position.kind != NodeKind::number)) {
            say("missing-name", line.verb.where, "'at' needs a position, or 'rest'").help =
                "for instance S1 at both, or S1 at rest";
            return false;
        }
        return nothing_more(tokens, "at");
    }
    line.posture = posture_of(line.verb.text).value_or(Posture::none);
    return nothing_more(tokens, line.verb.text);
}

bool ModeLines::read_profile(const FileText& file, Tokens& tokens, Line& line) {
    Profile& profile = line.profile;
    profile.where = line.where;
    while (true) {
        if (!read_level(file, tokens, line, profile)) return false;
        if (tokens.peek().is_word("then")) {
            if (!profile.levels.back().duration_s) {
                say("no-time", profile.levels.back().where, "this level does not say how long it lasts")
                    .help = "for instance " + std::string(line.verb.text) + " 80 A for 30 s then 20 A";
                return false;
            }
            tokens.next();
            continue;
        }
        break;
    }
    if (tokens.peek().is_word("repeating")) {
        tokens.next();
        profile.repeating = true;
    }
    if (const Token more = tokens.peek(); more.is_word() && !profile.repeating) {
        Suggestion nearest(more.text);
        for (const std::string_view word : {"then", "repeating", "for"}) nearest.offer(word);
        if (!nearest.best().empty()) {
            say("unknown-word", more.where, "'" + std::string(more.text) + "' is nothing that a profile says")
                .beside = "write " + std::string(nearest.best());
            return false;
        }
    }
    if (!nothing_more(tokens, line.verb.text)) return false;
    const Level& last = profile.levels.back();
    if (profile.repeating && !last.duration_s) {
        say("no-time", last.where, "this level does not say how long it lasts").help =
            "in a repeating profile every level has a time";
        return false;
    }
    if (!profile.repeating && last.duration_s) {
        say("no-end", last.where, "this profile does not say what comes after its last time").help =
            "end it with a level that stays (then 20 A) or with 'repeating'";
        return false;
    }
    return true;
}

// Whether the line ends behind a word that wants a value; says so.
bool ModeLines::says_nothing_more(const Tokens& tokens, const Token& word, std::string_view id,
                                  std::string_view what, std::string example) {
    if (!tokens.done()) return false;
    say(id, word.where, "'" + std::string(word.text) + "' does not say " + std::string(what)).help =
        "for instance " + std::move(example);
    return true;
}

bool ModeLines::read_level(const FileText& file, Tokens& tokens, Line& line, Profile& profile) {
    Level level;
    const Token first = tokens.peek();
    level.where = first ? first.where : line.verb.where;
    if (first.is_word("limit")) {
        tokens.next();
        level.limit = true;
    } else {
        if (says_nothing_more(tokens, line.verb, "no-amount", "how much",
                              std::string(line.verb.text) + (profile.flow == Flow::draws ? " 2 A" : " 20 A")))
            return false;
        ValueCursor cursor{tokens.position(), tokens.end()};
        const bool draws = profile.flow == Flow::draws;
        const Value value =
            draws
                ? reading_.attributes.read_quantity(*file.tree, cursor,
                                                    {Dimension::current, Dimension::power}, line.verb.text)
                : reading_.attributes.read_quantity(*file.tree, cursor, {Dimension::current}, line.verb.text);
        tokens.skip_to(cursor.at);
        if (!value.present()) return false;
        level.amount = value.quantity();
    }
    if (tokens.peek().is_word("for")) {
        const Token word = tokens.next();
        if (says_nothing_more(tokens, word, "no-time", "how long", "for 30 s")) return false;
        ValueCursor cursor{tokens.position(), tokens.end()};
        const Value time = reading_.attributes.read_quantity(*file.tree, cursor, {Dimension::time}, "for");
        tokens.skip_to(cursor.at);
        if (!time.present()) return false;
        level.duration_s = time.lo;
        if (time.quantity().known != Knowledge::stated || time.lo < time.hi) level.time = time.quantity();
    }
    profile.levels.push_back(level);
    return true;
}

// ---- after all lines -----------------------------------------------------------------------------------

void ModeLines::finish(bool report_silence) {
    std::vector<std::string> silent;
    const std::size_t parts = mode_.states.size();
    for (std::size_t i = 0; i < parts + mode_.pin_states.size(); ++i) {
        const Target target{i >= parts ? Whose::pin : Whose::part,
                            static_cast<std::uint32_t>(i >= parts ? i - parts : i)};
        State& s = state(target);
        if (s.posture != Posture::none || !rules(target).must) continue;
        if (others_at_rest_) {
            s.posture = rest_of(target);
            s.stated_by = StatedBy::rest;
            continue;
        }
        const std::size_t part =
            !target.is_part()
                ? reading_.root.terminals[reading_.root.driver_pins[target.index].index()].part.index()
                : target.index;
        if (reading_.root.traits[part].bad) continue;
        silent.push_back(name_of(target));
    }
    silent_ = !silent.empty();
    if (silent.empty() || !report_silence || bad_) return;
    constexpr std::size_t shown = 4;
    std::string list;
    for (std::size_t i = 0; i < silent.size() && i < shown; ++i) {
        const bool last = i + 1 == silent.size();
        list += (i == 0 ? "" : last ? " and " : ", ") + silent[i];
    }
    if (silent.size() > shown) list += " and " + std::to_string(silent.size() - shown) + " more";
    reading_
        .say("mode-silent", mode_.where,
             "mode " + std::string(mode_.name) + " does not say what " + list +
                 (silent.size() == 1 ? " does" : " do"))
        .help = "add a line for each, begin with 'like' another mode, or end with: others at rest";
}

}  // namespace loomward
