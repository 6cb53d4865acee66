// The grammar of level 1, in full. Whatever the bytes are, it takes them all: the closing steps and the gaps
// always succeed, and `stray` takes what nothing else does, so that no rule ever fails half-way and there is
// nothing to recover from.
#include <boost/spirit/home/x3.hpp>
#include <cassert>
#include <functional>

#include "parser/syntax/syntax_steps.hpp"

namespace loomward {
namespace {

namespace x3 = boost::spirit::x3;

struct ReaderTag;

// One step of the reader as a terminal of the grammar.
template <bool (SyntaxReader::*step)(const char*&)>
struct Step : x3::parser<Step<step>> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <class Context, class RuleContext, class Attribute>
    bool parse(const char*& first, const char* const&, const Context& context, RuleContext&,
               Attribute&) const {
        return (x3::get<ReaderTag>(context).get().*step)(first);
    }
};

constexpr Step<&SyntaxReader::start> start;
constexpr Step<&SyntaxReader::separator> separator;
constexpr Step<&SyntaxReader::misplaced> misplaced;
constexpr Step<&SyntaxReader::open_element> open_element;
constexpr Step<&SyntaxReader::close_element> close_element;
constexpr Step<&SyntaxReader::more> more;
constexpr Step<&SyntaxReader::word> word;
constexpr Step<&SyntaxReader::number> number;
constexpr Step<&SyntaxReader::text> text;
constexpr Step<&SyntaxReader::stray> stray;
constexpr Step<&SyntaxReader::gap> gap;
constexpr Step<&SyntaxReader::open_block> open_block;
constexpr Step<&SyntaxReader::close_block> close_block;
constexpr Step<&SyntaxReader::open_wire> open_wire;
constexpr Step<&SyntaxReader::close_wire> close_wire;

const x3::rule<class ElementRule> element = "element";

const auto block = open_block >> *(separator | element) >> close_block;
const auto wire = open_wire >> *(separator | element) >> close_wire;
const auto value = word | number | wire | text | stray;
const auto element_def = open_element >> *(more >> value >> gap) >> -block >> close_element;
const auto file = start >> *(separator | element | misplaced);

BOOST_SPIRIT_DEFINE(element)

}  // namespace

void run_grammar(SyntaxReader& reader) {
    const char* at = reader.begin();
    [[maybe_unused]] const bool matched =
        x3::parse(at, reader.end(), x3::with<ReaderTag>(std::ref(reader))[file]);
    assert(matched && at == reader.end());
    reader.finish();
}

}  // namespace loomward
