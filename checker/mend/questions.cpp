#include "checker/mend/questions.hpp"

namespace loomward {

namespace {

// "U1 draws 38 A": what a mode line said that a lowered setting does not let be.
std::string stated_draw(const Change& change) {
    return change.text.substr(0, change.text.find(' ', change.text.find(' ') + 1)) + " " +
           to_text(change.from, Dimension::current);
}

// Empty where a change asks for nothing.
std::string question_of(const Change& change) {
    const std::string& where = change.key.where;
    switch (change.key.verb) {
        case Verb::setting:
            return where +
                   " is made slower: is what its pack, battery management or way may give the figure on the "
                   "part? A higher one would buy it back.";
        case Verb::rating:
            return change.gives_less ? where + " of " + figure_text(change) +
                                           " is enough? What is there asks more of a pack, its battery "
                                           "management or the way than they may give or take"
                                     : std::string();
        case Verb::join:
            return "how long is the wire from " + where + " to " + change.other +
                   "? It is taken as about 1 m";
        case Verb::take_out:
            return "is " + where + " there for something? The modes do not need it";
        case Verb::mode_line:
            if (!change.goes_with_setting)
                return "mode " + where + ": does it work so (" + change.text + ")?";
            return "mode " + where + " states " + stated_draw(change) + "; so it is " +
                   to_text(change.value, Dimension::current) +
                   " at the most: is that enough for what the mode is for? It is yours to decide";
        case Verb::build:
            return "how long are the wires of " + where + "? They are taken as about 0.2 m";
        case Verb::branch:
            return "is there room for a fuse before " + where + "?";
        case Verb::length:
            return "can what ends " + where + " stand within " + figure_text(change) + "?";
        default:
            return {};
    }
}

}  // namespace

std::string besides_text(const Change& change) {
    std::string text;
    for (const auto& [what, written] : change.besides) text += ", " + written;
    return text;
}

std::string figure_text(const Change& change) {
    if (change.key.verb == Verb::size) return change.text;
    if (change.key.verb == Verb::rating && !change.text.empty())
        return change.text.substr(change.text.find(' ') + 1);
    return to_text(change.value, change.key.dimension, 4);
}

std::vector<std::string> questions_of(const Mended& mended) {
    std::vector<std::string> asked;
    for (const MadeChange& made : mended.changes)
        if (std::string question = question_of(made.change); !question.empty())
            asked.push_back(std::move(question));
    for (const auto& [device, smaller] : mended.above)
        asked.push_back(device + " of " + to_text(smaller.rated_A, Dimension::current) + " stands behind " +
                        smaller.before + " of " + to_text(smaller.before_A, Dimension::current) +
                        ", which opens first: may all that is behind that go dead for it?");
    return asked;
}

}  // namespace loomward
