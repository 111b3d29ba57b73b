/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "peers.h"

#include <ceres/ceres.h>

namespace
{

class WrittenCost : public ceres::CostFunction
{
public:
  WrittenCost (WrittenModel *model, const FitProblem *problem) : model_ (model)
  {
    set_num_residuals (static_cast<int> (problem->n_teeth));
    mutable_parameter_block_sizes ()->push_back (static_cast<int> (problem->n_parameters));
  }

  bool
  Evaluate (double const *const *theta, double *residuals, double **jacobians) const override
  {
    written_model_residuals (model_, theta[0], residuals);
    if (jacobians != nullptr && jacobians[0] != nullptr)
      written_model_jacobian (model_, theta[0], jacobians[0],
                              static_cast<gsize> (parameter_block_sizes ()[0]), 1);
    return true;
  }

private:
  WrittenModel *model_;
};

}

guint
peer_ceres (WrittenModel *model, const FitProblem *problem, double tolerance, double *theta)
{
  ceres::Problem solver_problem;
  ceres::Solver::Options options;
  ceres::Solver::Summary summary;

  written_model_start (model, theta);
  solver_problem.AddResidualBlock (new WrittenCost (model, problem), nullptr, theta);
  options.linear_solver_type = ceres::DENSE_NORMAL_CHOLESKY;
  options.max_num_iterations = 200;
  options.function_tolerance = tolerance;
  options.parameter_tolerance = tolerance;
  options.gradient_tolerance = 0.0;
  options.logging_type = ceres::SILENT;
  options.num_threads = 1;
  ceres::Solve (options, &solver_problem, &summary);
  return summary.termination_type == ceres::CONVERGENCE
             ? static_cast<guint> (summary.iterations.size () - 1)
             : 0;
}
