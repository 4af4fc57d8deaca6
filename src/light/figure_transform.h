// Fourier integrals of one hole: its area, and the direction across its edge continued smoothly into the cell.
#pragma once

#include "cell.h"

#include <map>
#include <vector>

namespace tymbal::fourier {

/// Integrals over the plane of f(r) exp(-i G r) for one hole at the origin; real, as the figures equal their turn by
/// half a circle.
struct FigureTransform {
    double open = 0.0;                    ///< f = 1 in the hole
    double xx = 0.0, xy = 0.0, yy = 0.0;  ///< f = n_i n_j w, n the normal of the edge, w a window that is 1 on the edge
};

/// Of all holes of a cell. Keeps what circles need of one |G|, which many G share.
class FigureTransformer {
public:
    explicit FigureTransformer(const Cell& cell);
    [[nodiscard]] FigureTransform operator()(Point g);

private:
    struct Moments {
        double even = 0.0, turning = 0.0;
    };
    [[nodiscard]] FigureTransform circle(Point g);

    double touching_;
    double radius_;
    std::vector<Point> corners_;
    std::map<long long, Moments> moments_;
};

}  // namespace tymbal::fourier
