package pages

// orderFields are the fields of a work order's form.
func orderFields() []string {
	return []string{"base_l", "blend_l", "bottle_count", "bottle_ml", "loss_percent", "stock_base_l", "stock_addition_l", "first_percent", "base_graduation_l", "addition_graduation_ml", "base_u_percent", "heel_l"}
}
