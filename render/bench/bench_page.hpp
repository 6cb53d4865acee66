// What the papers of the bench share: the lines below the title, blanks to fill in, the way a page looks.
#pragma once
#include <initializer_list>
#include <string>
#include <vector>

#include "checker/results.hpp"
#include "render/html/html_page.hpp"

namespace loomward {

// "revision B", "market-cart.loom", counts, version, hash.
std::vector<Html> paper_meta(const Results& results, const std::string& path, const std::string& version,
                             const std::string& sha256);
std::string revision_of(const Harness& harness);  // empty: none stated
std::string title_of(const Harness& harness);

// Empty fields with their names.
Html blanks_html(std::initializer_list<const char*> names);

std::string bench_style();

}  // namespace loomward
