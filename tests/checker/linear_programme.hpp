// The largest flow through one edge of a small network by a linear programme (GLPK): the outside check of
// what checker/protection works out by cuts.
#pragma once
#include <glpk.h>

#include <limits>
#include <vector>

namespace loomward::testing {

struct Pipe {
    std::size_t from = 0, to = 0;
    double most = 0;  // infinity allowed; one way only
};

// The most that can go round through pipe `wanted`, with as much into every node as out of it; infinity where
// there is no limit.
inline double largest_circulation(std::size_t nodes, const std::vector<Pipe>& pipes, std::size_t wanted) {
    glp_term_out(GLP_OFF);
    glp_prob* problem = glp_create_prob();
    glp_set_obj_dir(problem, GLP_MAX);
    glp_add_rows(problem, static_cast<int>(nodes));
    for (std::size_t i = 0; i < nodes; ++i) glp_set_row_bnds(problem, static_cast<int>(i + 1), GLP_FX, 0, 0);
    glp_add_cols(problem, static_cast<int>(pipes.size()));
    for (std::size_t i = 0; i < pipes.size(); ++i) {
        const int column = static_cast<int>(i + 1);
        if (pipes[i].most <= 0)
            glp_set_col_bnds(problem, column, GLP_FX, 0, 0);
        else if (pipes[i].most < std::numeric_limits<double>::infinity())
            glp_set_col_bnds(problem, column, GLP_DB, 0, pipes[i].most);
        else
            glp_set_col_bnds(problem, column, GLP_LO, 0, 0);
        if (pipes[i].from == pipes[i].to) continue;
        const int rows[] = {0, static_cast<int>(pipes[i].from + 1), static_cast<int>(pipes[i].to + 1)};
        const double signs[] = {0, -1, 1};
        glp_set_mat_col(problem, column, 2, rows, signs);
    }
    glp_set_obj_coef(problem, static_cast<int>(wanted + 1), 1);
    // Large enough to be no rating, small enough to keep the digits of what is one.
    constexpr double endless = 1e7;
    if (pipes[wanted].most > endless)
        glp_set_col_bnds(problem, static_cast<int>(wanted + 1), GLP_DB, 0, endless);
    glp_smcp options;
    glp_init_smcp(&options);
    options.msg_lev = GLP_MSG_OFF;
    const int failed = glp_simplex(problem, &options);
    const double most = failed == 0 ? glp_get_obj_val(problem) : -1;
    glp_delete_prob(problem);
    return most >= endless / 2 ? std::numeric_limits<double>::infinity() : most;
}

}  // namespace loomward::testing
