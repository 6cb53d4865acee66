#include <set>

#include "checker/mend/mend.hpp"

namespace loomward {

std::size_t count_of_changes(const Mended& mended) {
    std::set<std::string> parts;
    std::size_t others = 0;
    for (const MadeChange& made : mended.changes) {
        const Change& change = made.change;
        if (change.key.verb == Verb::rating || change.key.verb == Verb::type)
            parts.insert(change.key.where);
        else if (const std::string brought = brought_by(change); !brought.empty())
            parts.insert(brought);
        else if (!change.goes_with_setting)
            ++others;
    }
    return parts.size() + others;
}

}  // namespace loomward
