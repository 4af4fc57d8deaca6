// What the block eigensolver does with whole blocks: residuals, products of all vectors with each other, combinations.
// Sums run over fixed strips of rows, so that the number of threads changes no digit.
#pragma once

#include "block.h"

#include "tymbal/grid/stencil.h"

namespace tymbal {

/// X' K X and X' M X in double precision, and how far each vector is from being a mode.
struct ModeProducts {
    Eigen::MatrixXd stiffness, mass;
    Vector residual;  ///< |K x - value M x| / (value |M x|)
};

/// @param values    Ritz values, one per vector of x
/// @param residual  becomes K x - value M x; a block without vectors: not wanted
[[nodiscard]] ModeProducts mode_products(const LatticeFilm& film, const Block<double>& x, const Vector& values,
                                         Block<float>& residual, unsigned threads);

/// Rows: vectors of w.
struct DirectionProducts {
    Eigen::MatrixXd residual;   ///< W' R
    Eigen::MatrixXd mass;       ///< W' M [X P W]; of W' M W only the lower triangle
    Eigen::MatrixXd stiffness;  ///< W' K [P W]; likewise
};
/// @param p  may have no vectors
[[nodiscard]] DirectionProducts direction_products(const LatticeFilm& film, const Block<double>& x,
                                                   const Block<float>& residual, const Block<float>& p,
                                                   const Block<float>& w, unsigned threads);

/// x becomes x cx + y, w becomes y's `packs`, where y = p cp + w cw.
struct Combination {
    Eigen::MatrixXd x, p, w;  ///< one column per vector of x
    Packs packs;              ///< as many as w has
};
void combine(const Combination& by, Block<double>& x, const Block<float>& p, Block<float>& w, unsigned threads);

/// x becomes x by.
void rotate(const Eigen::MatrixXd& by, Block<double>& x, unsigned threads);

}  // namespace tymbal
